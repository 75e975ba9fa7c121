import type { Dump } from '../dump/dump.js';
import { labelOfRow } from '../dump/layout.js';
import { readOption, wordsOrHex } from '../dump/optionReading.js';
import { byteOf, type Label, type RecordRow } from '../notation/row.js';
import type { Option } from '../profile/profile.js';
import { imageDifferences, imageLabel } from './imageDifferences.js';
import { type DifferenceReason, type RawDifference, type RawDifferences, type Reason, reasonsOf } from './reasons.js';

/** A byte that differs, `byte` from 1; `before` or `after` is undefined where one side has no such byte. */
export interface ByteDifference {
  readonly byte: number;
  readonly before: number | undefined;
  readonly after: number | undefined;
  readonly reason: DifferenceReason;
  readonly volatile: boolean;
}

/** A line that both dumps have and that differs; row numbers are 0-based. */
export interface LineDifference {
  readonly label: Label;
  readonly beforeRow: number;
  readonly afterRow: number;
  readonly bytes: readonly ByteDifference[];
}

export interface OptionDifference {
  readonly option: Option;
  readonly before: string;
  readonly after: string;
}

export interface Comparison {
  readonly identical: boolean;
  readonly lines: readonly LineDifference[];
  readonly onlyBefore: readonly Label[];
  readonly onlyAfter: readonly Label[];
  /** Lines that cannot be read, or stand twice, on one side or both: nothing is known of them. */
  readonly uncompared: readonly Label[];
  readonly options: readonly OptionDifference[];
}

/**
 * Compares two dumps record by record, by label, and memory images by address; what bytes mean is taken from the
 * profile of `after`. Records of images are named by their addresses in hex.
 */
export function compareDumps(before: Dump, after: Dump): Comparison {
  const areImages = before.layout.kind === 'image' && after.layout.kind === 'image';
  const { raw, onlyBefore, onlyAfter, uncompared } = areImages
    ? imageDifferences(before, after)
    : lineDifferences(before, after);
  const nameOf = (row: number): Label => (areImages ? imageLabel(after, row) : (labelOfRow(after.rows[row]) as Label));
  const reasons = reasonsOf(before, after, raw);
  const lines = new Map<number, LineDifference & { bytes: ByteDifference[] }>();
  raw.forEach((difference, i) => {
    const { afterRow, beforeRow, byte, was, now } = difference;
    const line = lines.get(afterRow) ?? { label: nameOf(afterRow), beforeRow, afterRow, bytes: [] };
    const reason = reasons[i] as Reason;
    line.bytes.push({ byte: byte + 1, before: was, after: now, ...reason });
    lines.set(afterRow, line);
  });
  const identical = lines.size + onlyBefore.length + onlyAfter.length + uncompared.length === 0;
  const options = optionDifferences(before, after);
  return { identical, lines: [...lines.values()], onlyBefore, onlyAfter, uncompared, options };
}

function lineDifferences(before: Dump, after: Dump): RawDifferences {
  const rowsBefore = recordRows(before);
  const rowsAfter = recordRows(after);
  const uncompared = [...new Set([...unsureLabels(before), ...unsureLabels(after)])];
  const raw: RawDifference[] = [];
  for (const [label, afterRow] of rowsAfter) {
    const beforeRow = rowsBefore.get(label);
    if (beforeRow !== undefined && !uncompared.includes(label))
      raw.push(...differences(before, beforeRow, after, afterRow));
  }
  const onlyBefore = [...rowsBefore.keys()].filter((label) => !rowsAfter.has(label));
  const onlyAfter = [...rowsAfter.keys()].filter((label) => !rowsBefore.has(label));
  return { raw, onlyBefore, onlyAfter, uncompared };
}

/** Labels of lines that cannot be read or stand twice: which bytes they hold is anybody's guess. */
function unsureLabels({ rows, layout }: Dump): Label[] {
  const unread = [...rows.keys()].filter((row) => rows[row]?.kind === 'broken');
  return [...unread, ...layout.repeated].flatMap((row) => labelOfRow(rows[row]) ?? []);
}

/** The first row of each label. */
function recordRows({ rows }: Dump): ReadonlyMap<Label, number> {
  const found = new Map<Label, number>();
  rows.forEach((row, index) => {
    const label = labelOfRow(row);
    if (label !== undefined && !found.has(label)) found.set(label, index);
  });
  return found;
}

function differences(before: Dump, beforeRow: number, after: Dump, afterRow: number): RawDifference[] {
  const was = readable(before, beforeRow);
  const now = readable(after, afterRow);
  const count = Math.max(was?.count ?? 0, now?.count ?? 0);
  const found: RawDifference[] = [];
  for (let byte = 0; byte < count; byte++) {
    const a = was && byte < was.count ? byteOf(was, byte) : undefined;
    const b = now && byte < now.count ? byteOf(now, byte) : undefined;
    if (a !== b) found.push({ beforeRow, afterRow, byte, was: a, now: b });
  }
  return found;
}

function readable({ rows }: Dump, row: number): RecordRow | undefined {
  const record = rows[row];
  return record?.kind === 'record' ? record : undefined;
}

function optionDifferences(before: Dump, after: Dump): OptionDifference[] {
  return after.profile.options.flatMap((option) => {
    const was = readOption(before, option);
    const now = readOption(after, option);
    if (was === undefined || now === undefined || was.raw === now.raw) return [];
    return [{ option, before: wordsOrHex(option, was.raw), after: wordsOrHex(option, now.raw) }];
  });
}
