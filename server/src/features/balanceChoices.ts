import {
  addressOf,
  BALANCE_AT,
  BALANCE_CHOICES,
  type BalanceAtParams,
  type BalanceChoice,
  type BalanceChoices,
  type BalanceParams,
  byteAtColumn,
  certaintyInWords,
  type Dump,
  editsOf,
  freeCells,
  hex,
  labelOfRow,
  phrase,
  type Refusal,
  readAddressRange,
  rebalance,
  rebalanceAt,
  type Stretch,
  shareOfSteps,
  wrongTotals,
} from '../../../shared-core/src/index.js';
import { cautionsOfWrites } from '../cautions.js';
import type { Feature } from '../feature.js';
import type { Analysis, Session } from '../session.js';
import { toWorkspaceEdit } from '../toLsp.js';
import { balanceInWords } from './fixes/balanceFix.js';

/** Every line that could bring the wrong totals right, with what it would change; and why the others cannot. */
export const balanceChoices: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    const notOpen = (): Refusal => ({ refused: session.say(phrase('Open the dump first.')) });
    connection.onRequest<BalanceChoices | Refusal, void>(BALANCE_CHOICES, async ({ uri, selection }: BalanceParams) => {
      const explained = await session.analyze(uri);
      return explained === undefined ? notOpen() : choicesFor(session, explained, selection);
    });
    connection.onRequest<BalanceChoice | Refusal, void>(BALANCE_AT, async ({ uri, addresses }: BalanceAtParams) => {
      const explained = await session.analyze(uri);
      return explained === undefined ? notOpen() : choiceAt(session, explained, addresses);
    });
  },
};

/** More lines than this nobody reads through. */
const MOST_CHOICES = 500;

export function choicesFor(session: Session, explained: Analysis, selection?: Stretch): BalanceChoices | Refusal {
  const { dump } = explained;
  const wrong = wrongTotals(dump);
  if (wrong.length === 0) return { refused: session.say(phrase('All file sums that can be checked are right.')) };
  // A memory image has too many records to choose from: its user says addresses.
  if (dump.layout.kind === 'image') return { suggested: suggestedAddresses(dump, selection) };
  const rows = Array.from(dump.layout.order).slice(0, MOST_CHOICES);
  const choices = rows.map((row): BalanceChoice => {
    const repair = rebalance(dump, freeCells(dump, row), wrong, shareOfSteps(rows.length));
    const title = session.say(phrase('Line {0}', labelOfRow(dump.rows[row]) ?? row + 1));
    if (repair.kind === 'refused') return { title, detail: session.say(repair.why), edit: null, cautions: [] };
    return {
      title,
      detail: session.say(phrase('{0} – {1}', balanceInWords(dump, repair.writes), certaintyInWords(repair))),
      edit: toWorkspaceEdit(session, explained, editsOf(dump, repair.writes)),
      cautions: cautionsOfWrites(session, dump, repair.writes),
    };
  });
  return [...choices.filter(({ edit }) => edit !== null), ...choices.filter(({ edit }) => edit === null)];
}

/** What the free bytes of a range of addresses could do. */
function choiceAt(session: Session, explained: Analysis, text: string): BalanceChoice | Refusal {
  const { dump } = explained;
  const range = readAddressRange(text);
  if (range === undefined) {
    return { refused: session.say(phrase('Addresses are written in hex: 1F0 for one, 1F0..1FF for a range.')) };
  }
  const wrong = wrongTotals(dump);
  if (wrong.length === 0) return { refused: session.say(phrase('All file sums that can be checked are right.')) };
  const repair = rebalanceAt(dump, range, wrong);
  if (repair.kind === 'refused') return { refused: session.say(repair.why) };
  return {
    title: session.say(balanceInWords(dump, repair.writes)),
    detail: session.say(certaintyInWords(repair)),
    edit: toWorkspaceEdit(session, explained, editsOf(dump, repair.writes)),
    cautions: cautionsOfWrites(session, dump, repair.writes),
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
