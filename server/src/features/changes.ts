import {
  bytesSpan,
  CHANGES,
  type ChangedLine,
  type ChangeItem,
  type ChangesResult,
  type CompareParams,
  type Comparison,
  compareDumps,
  type Dump,
  digitsOf,
  hex,
  isAccountedFor,
  type Label,
  type LineDifference,
  labelOfRow,
  labelText,
  optionSpan,
  optionsAt,
  type Phrase,
  phrase,
  type Refusal,
  readOption,
  reasonInWords,
  remarksInWords,
  restoreLine,
  restoreRecord,
  TAKE_LINE,
  type TakeLineParams,
  type TakeLineResult,
  whyNoRestore,
} from '../../../shared-core/src/index.js';
import type { Feature } from '../feature.js';
import type { Session } from '../session.js';
import { toRange, toWorkspaceEdit } from '../toLsp.js';
import { pairOf } from './compare.js';

/** What differs between a dump and another one, place by place; and the edit that takes a line from the other. */
export const changes: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<ChangesResult | Refusal, void>(CHANGES, (params: CompareParams) =>
      changesFor(session, params),
    );
    connection.onRequest<TakeLineResult | Refusal, void>(TAKE_LINE, (params: TakeLineParams) =>
      takeLine(session, params),
    );
  },
};

async function changesFor(session: Session, params: CompareParams): Promise<ChangesResult | Refusal> {
  const pair = await pairOf(session, params);
  if ('refused' in pair) return pair;
  const { dump } = pair.explained;
  const comparison = compareDumps(pair.other, dump);
  const { lines, options } = comparison;
  return {
    otherUri: pair.otherUri,
    options: options.map(({ option, before, after }): ChangeItem => {
      const reading = readOption(dump, option);
      const span = reading && optionSpan(dump, reading);
      return {
        title: option.title,
        says: `${before} → ${after}`,
        range: span === undefined ? null : toRange(span),
        reason: 'option',
      };
    }),
    lines: [...lines.map((line) => changedLine(session, dump, comparison, line)), ...missingLines(session, comparison)],
    remarks: comparison.identical
      ? [session.say(phrase('Both hold the same bytes.'))]
      : remarksInWords(comparison).map(session.say),
    explained:
      comparison.unread.length === 0 && lines.every(({ bytes }) => bytes.every(({ reason }) => isAccountedFor(reason))),
  };
}

function missingLines({ say }: Session, { kind, onlyBefore }: Comparison): ChangedLine[] {
  if (kind === 'image') return [];
  return onlyBefore.map((label) => ({
    title: say(phrase('Line {0} is missing', labelText(label))),
    label: labelText(label),
    bytes: [],
  }));
}

function changedLine(
  { say }: Session,
  dump: Dump,
  { kind }: Comparison,
  { label, afterRow, bytes }: LineDifference,
): ChangedLine {
  return {
    title: say(kind === 'image' ? phrase('Record at {0}', label) : phrase('Line {0}', labelText(label))),
    label: labelText(label),
    bytes: bytes.map(({ byte, address, before, after, reason }) => {
      const span = bytesSpan(dump, afterRow, byte - 1, 1);
      const place = address === undefined ? phrase('Byte {0}', byte) : phrase('Address {0}', hex(address, 4));
      return {
        title: say(place),
        says: `${digitsOf(before)} → ${digitsOf(after)} · ${say(whatIs(dump, afterRow, byte - 1, reason))}`,
        range: span === undefined ? null : toRange(span),
        reason,
      };
    }),
  };
}

/** The option that a byte holds by its title, else why it differs. */
export function whatIs(dump: Dump, row: number, byte: number, reason: ChangeItem['reason']): Phrase {
  const [option] = reason === 'option' ? optionsAt(dump, { row, byte }) : [];
  return option === undefined ? reasonInWords(reason) : phrase('{0}', option.title);
}

async function takeLine(session: Session, params: TakeLineParams): Promise<TakeLineResult | Refusal> {
  const { say } = session;
  const pair = await pairOf(session, params);
  if ('refused' in pair) return pair;
  const { explained, other } = pair;
  const { dump, version } = explained;
  const why = params.other === undefined ? whyNoRestore(dump, other) : undefined;
  if (why !== undefined) return { refused: say(why) };
  const { line } = params;
  const label = 'row' in line ? labelOfRow(dump.rows[line.row]) : labelWritten(dump, other, line.label);
  if (label === undefined) return { refused: say(phrase('Put the cursor into a line of the module first.')) };
  const row = 'row' in line ? line.row : dump.layout.rowOf(label);
  const edits =
    dump.layout.kind === 'image' && row !== undefined
      ? restoreRecord(dump, other, row)
      : restoreLine(dump, other, label);
  const name = labelText(label);
  if (edits.length === 0)
    return { refused: say(phrase('Line {0} is the same there, or is not there at all. Nothing to take over.', name)) };
  return { edit: toWorkspaceEdit(session, explained, edits), version, says: say(phrase('Line {0} taken over', name)) };
}

/** The label of a line of either dump by how it is written. */
function labelWritten(dump: Dump, other: Dump, written: string): Label | undefined {
  return [...dump.rows, ...other.rows]
    .map(labelOfRow)
    .find((label) => label !== undefined && labelText(label) === written);
}
