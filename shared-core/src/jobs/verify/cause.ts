import { hex, hexBytes } from '../../base/hex.js';
import { listed, type Phrase, phrase } from '../../base/phrase.js';
import { type ByteDifference, type Comparison, differs, type LineDifference } from '../../compare/compareDumps.js';
import type { DifferenceReason } from '../../compare/reasons.js';
import { bytesOf } from '../../format/row.js';
import { cellsOfOption } from '../../model/cell.js';
import { type Dump, ruleOf } from '../../model/dump.js';
import { lineCalled } from '../../model/lineName.js';
import { readOption, shownValue } from '../../model/optionReading.js';
import { isTotalRight } from '../../model/totalReading.js';
import { soundRecord } from '../../model/totals.js';

/** What the likely cause of a difference is judged by. */
export interface Evidence {
  readonly planned: Dump;
  readonly read: Dump;
  /** What the work changes in the dump as it was before it. */
  readonly work: Comparison | undefined;
  /** Whether what was read may be of another vehicle or module: then nothing tells what this module did. */
  readonly isDoubted: boolean;
  /** A file sum does not fit what was read, and no line has a sum that would tell which of them is right. */
  readonly isBadlyRead: boolean;
}

type Judge = (line: LineDifference, evidence: Evidence) => Phrase | undefined;

/** The likely cause of a line that was read other than planned: the first that all its bytes bear out. */
export function causeOf(line: LineDifference, evidence: Evidence): Phrase {
  for (const judge of JUDGES) {
    const cause = judge(line, evidence);
    if (cause !== undefined) return evidence.isBadlyRead && BY_MODULE.includes(judge) ? badlyRead() : cause;
  }
  if (evidence.isBadlyRead) return badlyRead();
  return lineSumHolds(evidence.read, line.afterRow) === false
    ? phrase('Its sum is wrong as well: mistyped, or badly read. Read the module once more and compare the two.')
    : phrase('The cause is unclear. Read the module once more and compare the two.');
}

/** Whether the sum of a line is right; undefined where it has none that can be checked. */
export function lineSumHolds(dump: Dump, row: number): boolean | undefined {
  const record = soundRecord(dump.layout, dump.rows, row);
  return record === undefined || !dump.layout.dataCount[row] ? undefined : ruleOf(dump, row)?.isRight(record);
}

/** In this order, as what holds for one may hold for one after it too. */
const JUDGES: readonly Judge[] = [
  otherLength,
  notWritten,
  otherLine,
  blank,
  sumLeftBehind,
  onlySum,
  notToBeChanged,
  ofAnother,
  mistyped,
  guardedDiffers,
  notTakenBack,
  valueOutsideTheWork,
  valueOfItsOwn,
  outsideTheWork,
  changedByModule,
];

/** What the module did by itself it would have made its sums fit. */
const BY_MODULE: readonly Judge[] = [valueOutsideTheWork, valueOfItsOwn, outsideTheWork, changedByModule];

function badlyRead(): Phrase {
  return phrase('The file sum does not fit it: mistyped, or badly read.');
}

function otherLength({ bytes }: LineDifference): Phrase | undefined {
  return bytes.some(({ before, after }) => before === undefined || after === undefined)
    ? phrase('It is longer or shorter than planned: bytes were left out, or it was not read whole.')
    : undefined;
}

/** What of a line still is as it was before the work. */
export function notWritten(line: LineDifference, { work, isDoubted }: Evidence): Phrase | undefined {
  if (isDoubted) return undefined;
  const wrong = steady(line);
  const changed = work?.lines
    .find(({ label }) => label === line.label)
    ?.bytes.filter(({ volatile, byte }) => !volatile || wrong.some((one) => one.byte === byte));
  if (changed === undefined) return undefined;
  const isOld = wrong.every((difference) => {
    const change = changed.find(({ byte }) => byte === difference.byte);
    return change !== undefined && change.before === difference.after;
  });
  if (!isOld || wrong.length === 0) return undefined;
  if (wrong.length === changed.length) return phrase('Not written: it still holds what it held before.');
  return phrase('Written in part: byte {0} still holds what it held before.', listed(wrong.map(({ byte }) => byte)));
}

function otherLine({ beforeRow, afterRow }: LineDifference, { planned, read }: Evidence): Phrase | undefined {
  const data = dataOf(read, afterRow);
  if (data === undefined || /^(..)\1*$/.test(data) || data === dataOf(planned, beforeRow)) return undefined;
  const { kind, order, keys } = planned.layout;
  const index = order.findIndex((one) => dataOf(planned, one) === data);
  const key = keys[index];
  const row = order[index];
  if (key === undefined || row === undefined) return undefined;
  return kind === 'image'
    ? phrase('It has the bytes planned for address {0}: they were entered in the wrong place.', hex(key, 4))
    : phrase('It has the bytes planned for line {0}: they were entered in the wrong line.', lineCalled(planned, row));
}

function blank(line: LineDifference, { read }: Evidence): Phrase | undefined {
  const data = dataOf(read, line.afterRow);
  return data !== undefined && steady(line).length > 2 && /^(?:(?:FF)+|(?:00)+)$/.test(data)
    ? phrase('All its bytes are {0}: it was erased, or could not be read.', data.slice(0, 2))
    : undefined;
}

function sumLeftBehind({ bytes, afterRow }: LineDifference, { read }: Evidence): Phrase | undefined {
  if (!bytes.some(({ volatile }) => volatile) || lineSumHolds(read, afterRow) !== false) return undefined;
  return bytes.every(({ volatile, reason }) => volatile || reason === 'line-sum')
    ? phrase('Only places differ that change by themselves, but its sum is wrong: mistyped, or badly read.')
    : undefined;
}

function onlySum(line: LineDifference, evidence: Evidence): Phrase | undefined {
  const { bytes, afterRow } = line;
  const { read } = evidence;
  if (bytes.every(({ reason }) => reason === 'total'))
    return (
      (totalsFit(read, afterRow) ? notTakenBack(line, evidence) : undefined) ??
      phrase('The file sum differs: mistyped, or made anew by the module over other bytes than planned.')
    );
  if (!bytes.every(({ reason }) => reason === 'line-sum')) return undefined;
  return lineSumHolds(read, afterRow) === false
    ? phrase('Only its sum differs, and it is wrong: mistyped.')
    : phrase('Only its sum differs from the plan.');
}

/** Whether each file sum that is stored in a line is right for the bytes that were read. */
function totalsFit(read: Dump, row: number): boolean {
  return read.totals.every(
    ({ stored }, index) => !stored?.some((cell) => cell.row === row) || isTotalRight(read, index),
  );
}

/** A slip in a line that nobody was to enter: it came with the reading, or something else was written. */
function notToBeChanged(line: LineDifference, evidence: Evidence): Phrase | undefined {
  const { work, read } = evidence;
  if (work === undefined || !differs(work) || work.lines.some(({ label }) => label === line.label)) return undefined;
  if (lineSumHolds(read, line.afterRow) === true || mistyped(line, evidence) === undefined) return undefined;
  return phrase(
    'This line was not to be changed: mistyped in what was read, badly read, or written by mistake. Read the module once more and compare the two.',
  );
}

function mistyped(line: LineDifference, { read }: Evidence): Phrase | undefined {
  const holds = lineSumHolds(read, line.afterRow);
  if (holds === true) return undefined;
  const data = steady(line).filter(({ reason }) => reason !== 'line-sum');
  const slip = slipOf(data);
  if (slip === undefined) return undefined;
  return holds === false ? phrase('{0} The sum of the line, which is wrong now, says so too.', slip) : slip;
}

/** One digit other than planned, or two in each other's place. */
function slipOf(data: readonly ByteDifference[]): Phrase | undefined {
  const [first, second] = data;
  if (first === undefined) return undefined;
  const digits = (side: 'before' | 'after') => data.map((one) => hex(one[side] ?? 0)).join('');
  const [was, now] = [digits('before'), digits('after')];
  const places = [...was].flatMap((digit, i) => (digit === now[i] ? [] : i));
  const [a, b] = places as [number, number | undefined];
  const { address } = first;
  if (places.length === 1) {
    if (address !== undefined)
      return phrase('A digit was mistyped: at {0} is {1} instead of {2}.', hex(address, 4), now, was);
    return phrase('A digit was mistyped: byte {0} is {1} instead of {2}.', first.byte, now, was);
  }
  const swapped = places.length === 2 && was[a] === now[b as number] && was[b as number] === now[a];
  const isNear = second === undefined || second.byte === first.byte + 1;
  if (!swapped || !isNear) return undefined;
  if (address !== undefined)
    return phrase(
      "Two digits stand in each other's place: {0} instead of {1}, from {2} on.",
      now,
      was,
      hex(address, 4),
    );
  return phrase("Two digits stand in each other's place: {0} instead of {1}, from byte {2} on.", now, was, first.byte);
}

/** Locked and security bytes say so themselves. */
function ofAnother(line: LineDifference, { read, isDoubted }: Evidence): Phrase | undefined {
  if (!isDoubted || lineSumHolds(read, line.afterRow) === false) return undefined;
  return guardedDiffers(line) ?? phrase('Perhaps of another car or module.');
}

function valueOutsideTheWork(line: LineDifference, evidence: Evidence): Phrase | undefined {
  const values = isOutsideTheWork(line, evidence) ? valuesRead(line, evidence) : undefined;
  if (values !== undefined && lineSumHolds(evidence.read, line.afterRow) === undefined)
    return phrase(
      '{0}. The work does not touch it: the module or somebody set it meanwhile, or another module was read. Read the module once more.',
      values,
    );
  return (
    values &&
    phrase(
      '{0}; its sum fits. The work does not touch it: the module or somebody set it meanwhile, or another module was read. Read the module once more.',
      values,
    )
  );
}

function valueOfItsOwn(line: LineDifference, evidence: Evidence): Phrase | undefined {
  const values = valuesRead(line, evidence);
  if (values !== undefined && lineSumHolds(evidence.read, line.afterRow) === undefined)
    return phrase('{0}. The module replaced the value, or it was entered otherwise than planned.', values);
  return (
    values &&
    phrase(
      '{0}; its sum fits. The module replaced the value, perhaps with its default: it may not allow this one.',
      values,
    )
  );
}

/** Which options of a line have another value than planned, where nothing else of it differs and its sum is not wrong. */
function valuesRead(line: LineDifference, { planned, read }: Evidence): Phrase | undefined {
  if (lineSumHolds(read, line.afterRow) === false) return undefined;
  const data = steady(line).filter(({ reason }) => reason !== 'line-sum');
  if (!data.every(({ reason }) => reason === 'option')) return undefined;
  const options = read.profile.options.flatMap((option) => {
    const here = cellsOfOption(read.layout, option).some((cell) => cell.row === line.afterRow);
    const [was, now] = [readOption(planned, option), readOption(read, option)];
    if (here !== true || was === undefined || now === undefined || was.raw === now.raw) return [];
    return phrase('{0} is "{1}", not "{2}"', option.title, shownValue(option, now.raw), shownValue(option, was.raw));
  });
  return options.length === 0 ? undefined : listed(options, '; ');
}

function guardedDiffers({ bytes }: LineDifference): Phrase | undefined {
  const bytesOf = (kind: DifferenceReason) => bytes.filter(({ reason }) => reason === kind).map(({ byte }) => byte);
  const [security, locked] = [bytesOf('security'), bytesOf('locked')];
  if (security.length > 0)
    return phrase(
      'Byte {0} concerns the security of the vehicle and is never changed by the work: this is another module or vehicle, or it was badly read. Do not write anything before you know.',
      listed(security),
    );
  if (locked.length === 0) return undefined;
  return phrase(
    'Byte {0} is locked and never changed by the work: this is another module or vehicle, or it was badly read. Make sure that it is the right one before anything is written.',
    listed(locked),
  );
}

function notTakenBack({ afterRow }: LineDifference, { work, read }: Evidence): Phrase | undefined {
  if (work === undefined || differs(work) || lineSumHolds(read, afterRow) === false) return undefined;
  return phrase(
    'The dump has it as the backup has it, and the module has not: what was written earlier is still to be taken back, or the module changed it by itself.',
  );
}

function outsideTheWork(line: LineDifference, evidence: Evidence): Phrase | undefined {
  if (!isOutsideTheWork(line, evidence)) return undefined;
  // What an option says never belongs among what changes by itself.
  return line.bytes.some(({ reason }) => reason === 'option')
    ? phrase('The work does not touch it: another module was read, or somebody changed it. Read the module once more.')
    : phrase(
        'The work does not touch it: the module changed it by itself, or another one was read. If it differs at every reading of this module, it belongs under "volatile" in the profile.',
      );
}

/** Whether the work leaves a line as it was, and the line's own sum does not say that it was badly read. */
export function isOutsideTheWork({ label, afterRow }: LineDifference, { work, read }: Evidence): boolean {
  return work !== undefined && !work.lines.some((one) => one.label === label) && lineSumHolds(read, afterRow) !== false;
}

function changedByModule(line: LineDifference, { read }: Evidence): Phrase | undefined {
  return lineSumHolds(read, line.afterRow) === true
    ? phrase('Its sum fits: the module put in bytes of its own, its default perhaps.')
    : undefined;
}

function steady({ bytes }: LineDifference): readonly ByteDifference[] {
  return bytes.filter(({ volatile }) => !volatile);
}

/** The data bytes of a line in hex; undefined where it cannot be read or is too short to be told from others. */
function dataOf({ rows, layout }: Dump, row: number): string | undefined {
  const record = rows[row];
  const count = layout.dataCount[row] ?? 0;
  return record?.kind === 'record' && count > 0 && record.count >= count
    ? hexBytes(bytesOf(record, 0, count))
    : undefined;
}
