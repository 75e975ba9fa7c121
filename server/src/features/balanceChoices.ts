import { balanceAt, balancePlaces, type Change, changeInFull } from '../../../shared-core/src/actions/index.js';
import { hex, type Phrase, phrase } from '../../../shared-core/src/base/index.js';
import { addressOf, byteAtColumn, type Dump, wrongTotals } from '../../../shared-core/src/model/index.js';
import {
  BALANCE_AT,
  BALANCE_CHOICES,
  type BalanceAtParams,
  type BalanceChoice,
  type BalanceChoices,
  type BalanceParams,
} from '../../../shared-core/src/protocol/balance.js';
import type { Refusal, Stretch } from '../../../shared-core/src/protocol/common.js';
import { certaintyInWords, readAddressRange } from '../../../shared-core/src/repair/index.js';
import { withDependents } from '../dependents.js';
import { answerOrRefuse, type Feature } from '../feature.js';
import type { CancellationToken } from '../lsp.js';
import type { Analysis, Session } from '../session.js';
import { inSlices } from '../slices.js';
import { toConsent, toRefusal } from '../toChange.js';
import { toWorkspaceEdit } from '../toLsp.js';

/** Every line that could bring the wrong totals right, with what it would change; and why the others cannot. */
export const balanceChoices: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<BalanceChoices | Refusal, void>(
      BALANCE_CHOICES,
      (params: BalanceParams, cancel: CancellationToken) =>
        answerOrRefuse(session, params.uri, (explained) => choicesFor(session, explained, params, cancel)),
    );
    connection.onRequest<BalanceChoice | Refusal, void>(
      BALANCE_AT,
      (params: BalanceAtParams, cancel: CancellationToken) =>
        answerOrRefuse(session, params.uri, (explained) => choiceAt(session, explained, params, cancel)),
    );
  },
};

async function choicesFor(
  session: Session,
  explained: Analysis,
  { selection, ...accepted }: Omit<BalanceParams, 'uri'>,
  cancel: CancellationToken,
): Promise<BalanceChoices | Refusal> {
  const { dump } = explained;
  // A memory image has too many records to choose from: its user says addresses.
  if (dump.layout.kind === 'image' && wrongTotals(dump).length > 0)
    return { suggested: suggestedAddresses(dump, selection) };
  const subject = await withDependents(session, explained);
  const choices = await inSlices(balancePlaces(subject, toConsent(accepted)), cancel);
  if (!choices.ok) return toRefusal(session, choices);
  return choices.value.map(({ title, detail, change }) => choiceOf(session, explained, title, detail, change));
}

/** What the free bytes of a range of addresses could do. */
async function choiceAt(
  session: Session,
  explained: Analysis,
  { addresses, ...accepted }: BalanceAtParams,
  cancel: CancellationToken,
): Promise<BalanceChoice | Refusal> {
  const range = readAddressRange(addresses);
  if (range === undefined)
    return { refused: session.say(phrase('Addresses are written in hex: 1F0 for one, 1F0..1FF for a range.')) };
  const subject = await withDependents(session, explained);
  const change = await inSlices(balanceAt(subject, range, toConsent(accepted)), cancel);
  if (!change.ok) return toRefusal(session, change);
  const { says, balanced } = change.value;
  return choiceOf(session, explained, says, balanced ? certaintyInWords(balanced) : says, change.value);
}

function choiceOf(
  session: Session,
  explained: Analysis,
  title: Phrase,
  detail: Phrase,
  change: Change | undefined,
): BalanceChoice {
  return {
    title: session.say(title),
    detail: session.say(detail),
    edit: change === undefined ? null : toWorkspaceEdit(session, explained, change.edits),
    inFull: change === undefined ? [] : changeInFull(explained.dump, change.after).map(session.say),
    cautions: (change?.cautions ?? []).map(session.say),
  };
}

/** The addresses that are selected, else those that the profile lists for balancing. */
function suggestedAddresses(dump: Dump, selection: Stretch | undefined): string {
  const ends = selection === undefined ? [] : [selection.start, selection.end].map((place) => addressAt(dump, place));
  const [from, to] = ends;
  if (from !== undefined && to !== undefined && from < to) return rangeText(from, to);
  const place = dump.profile.balance.find(({ place: { kind } }) => kind === 'address')?.place;
  return place?.kind === 'address' ? rangeText(place.address, place.address + place.count - 1) : '';
}

function rangeText(from: number, to: number): string {
  return from === to ? hex(from, 4) : `${hex(from, 4)}..${hex(to, 4)}`;
}

function addressAt(dump: Dump, { line, character }: Stretch['start']): number | undefined {
  const record = dump.rows[line];
  const byte = record?.kind === 'record' ? byteAtColumn(dump, record, character) : undefined;
  return byte === undefined ? undefined : addressOf(dump.layout, { row: line, byte });
}
