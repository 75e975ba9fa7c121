import { linesToRestore, restoreInSteps, takeLinesInSteps } from '../../../shared-core/src/actions/index.js';
import { digitsOf, hex, type Phrase, phrase } from '../../../shared-core/src/base/index.js';
import {
  type Comparison,
  compareDumps,
  isExplained,
  type LineDifference,
  reasonInWords,
  remarksInWords,
} from '../../../shared-core/src/compare/index.js';
import { type Label, labelText } from '../../../shared-core/src/format/index.js';
import {
  bytesSpan,
  calledLine,
  type Dump,
  labelOfRow,
  optionSpan,
  optionsAt,
  readOption,
} from '../../../shared-core/src/model/index.js';
import type { Refusal } from '../../../shared-core/src/protocol/common.js';
import {
  CHANGES,
  type ChangedLine,
  type ChangeItem,
  type ChangesResult,
  type CompareParams,
  TAKE_LINE,
  type TakeLineParams,
  type TakeLineResult,
} from '../../../shared-core/src/protocol/compare.js';
import { withDependents } from '../dependents.js';
import { evidenceOf } from '../evidence.js';
import type { Feature } from '../feature.js';
import type { CancellationToken } from '../lsp.js';
import { placeOf } from '../placeOf.js';
import type { Session } from '../session.js';
import { inSlices } from '../slices.js';
import { toConsent, toEditResult } from '../toChange.js';
import { answerOfPair, type Pair } from './compare.js';

/** What differs between a dump and another one, place by place; and the edit that takes a line from the other. */
export const changes: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<ChangesResult | Refusal, void>(CHANGES, (params: CompareParams) =>
      answerOfPair(session, params, (pair) => changesFor(session, pair)),
    );
    connection.onRequest<TakeLineResult | Refusal, void>(
      TAKE_LINE,
      (params: TakeLineParams, cancel: CancellationToken) =>
        answerOfPair(session, params, (pair) => takeLine(session, params, pair, cancel)),
    );
  },
};

function changesFor(session: Session, { explained: { dump }, ...pair }: Pair): ChangesResult {
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
        range: placeOf(dump, span),
        reason: 'option',
      };
    }),
    lines: [...lines.map((line) => changedLine(session, dump, comparison, line)), ...missingLines(session, comparison)],
    remarks: comparison.identical
      ? [session.say(phrase('Both hold the same bytes.'))]
      : remarksInWords(comparison).map(session.say),
    explained: isExplained(comparison),
  };
}

function missingLines({ say }: Session, { kind, onlyBefore, called }: Comparison): ChangedLine[] {
  if (kind === 'image') return [];
  return onlyBefore.map((label) => ({
    title: say(phrase('Line {0} is missing', called.get(label) ?? labelText(label))),
    label: labelText(label),
    bytes: [],
  }));
}

function changedLine(
  { say }: Session,
  dump: Dump,
  { kind }: Comparison,
  { label, called, afterRow, bytes }: LineDifference,
): ChangedLine {
  return {
    title: say(kind === 'image' ? phrase('From {0}', called) : phrase('Line {0}', called)),
    label: labelText(label),
    bytes: bytes.map(({ byte, address, before, after, reason }) => {
      const span = bytesSpan(dump, afterRow, byte - 1, 1);
      const place = address === undefined ? phrase('Byte {0}', byte) : phrase('Address {0}', hex(address, 4));
      return {
        title: say(place),
        says: `${digitsOf(before)} → ${digitsOf(after)} · ${say(whatIs(dump, afterRow, byte - 1, reason))}`,
        range: placeOf(dump, span),
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

async function takeLine(
  session: Session,
  params: TakeLineParams,
  { explained, other }: Pair,
  cancel: CancellationToken,
): Promise<TakeLineResult | Refusal> {
  const { say } = session;
  const { dump } = explained;
  const { line } = params;
  if ((await evidenceOf(session, explained)) === 'readBack')
    return { refused: say(phrase('This is what was read back: it stays as it is. Change the dump that it is of.')) };
  const label = 'row' in line ? labelAt(dump, line.row) : labelWritten(dump, other, line.label);
  if (label === undefined && 'row' in line)
    return { refused: say(phrase('Put the cursor into a line of the module first.')) };
  const name = label === undefined ? ('row' in line ? '' : line.label) : calledLine(dump, label);
  if (label === undefined || !linesToRestore(dump, other).includes(label))
    return { refused: say(phrase('Line {0} is the same there, or is not there at all. Nothing to take over.', name)) };
  const consent = toConsent(params);
  const subject = await withDependents(session, explained);
  const steps =
    params.other === undefined
      ? restoreInSteps(subject, [label], consent)
      : takeLinesInSteps(subject, other, [label], consent);
  const taken = await inSlices(steps, cancel);
  return toEditResult(session, explained, taken, phrase('Line {0} taken over', name));
}

/** What a comparison calls the line in a row: its label or, of an image, the address of its first byte. */
function labelAt({ layout, rows }: Dump, row: number): Label | undefined {
  if (layout.kind !== 'image') return labelOfRow(rows[row]);
  const address = layout.keys[layout.order.indexOf(row)];
  return address === undefined ? undefined : hex(address, 4);
}

/** The label of a line of either dump by how it is written. */
function labelWritten(dump: Dump, other: Dump, written: string): Label | undefined {
  return linesToRestore(dump, other).find((label) => labelText(label) === written);
}
