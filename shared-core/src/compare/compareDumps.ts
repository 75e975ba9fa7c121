import { maskOf } from '../bytes/bits.js';
import { type Cell, cellKey, cellsOf } from '../dump/cell.js';
import type { Dump } from '../dump/dump.js';
import { labelOfRow } from '../dump/layout.js';
import { readOption, wordsOrHex } from '../dump/optionReading.js';
import { byteOf, type Label, type RecordRow } from '../notation/row.js';
import type { Option } from '../profile/profile.js';

/** Why a byte differs. `unexplained` is the one to look at: nothing in the profile accounts for it. */
export type DifferenceReason = 'option' | 'line-sum' | 'balance' | 'total' | 'unexplained';

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
  readonly options: readonly OptionDifference[];
}

/** Compares two dumps record by record, by label; what bytes mean is taken from the profile of `after`. */
export function compareDumps(before: Dump, after: Dump): Comparison {
  const rowsBefore = recordRows(before);
  const rowsAfter = recordRows(after);
  const raw: RawDifference[] = [];
  for (const [label, afterRow] of rowsAfter) {
    const beforeRow = rowsBefore.get(label);
    if (beforeRow !== undefined) raw.push(...differences(before, beforeRow, after, afterRow));
  }
  const reasons = reasonsOf(after, raw);
  const lines = new Map<number, LineDifference & { bytes: ByteDifference[] }>();
  raw.forEach((difference, i) => {
    const { afterRow, beforeRow, byte, was, now } = difference;
    const label = labelOfRow(after.rows[afterRow]) as Label;
    const line = lines.get(afterRow) ?? { label, beforeRow, afterRow, bytes: [] };
    const reason = reasons[i] as { reason: DifferenceReason; volatile: boolean };
    line.bytes.push({ byte: byte + 1, before: was, after: now, ...reason });
    lines.set(afterRow, line);
  });
  const onlyBefore = [...rowsBefore.keys()].filter((label) => !rowsAfter.has(label));
  const onlyAfter = [...rowsAfter.keys()].filter((label) => !rowsBefore.has(label));
  const identical = lines.size === 0 && onlyBefore.length === 0 && onlyAfter.length === 0;
  return { identical, lines: [...lines.values()], onlyBefore, onlyAfter, options: optionDifferences(before, after) };
}

interface RawDifference {
  readonly beforeRow: number;
  readonly afterRow: number;
  readonly byte: number;
  readonly was: number | undefined;
  readonly now: number | undefined;
}

/** The first row of each label; a record that cannot be read stands for itself with no bytes. */
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

function reasonsOf(dump: Dump, raw: readonly RawDifference[]): { reason: DifferenceReason; volatile: boolean }[] {
  const { layout, profile } = dump;
  const cells = (place: Parameters<typeof cellsOf>[1]): readonly Cell[] => cellsOf(layout, place) ?? [];
  const keys = (all: readonly Cell[]) => new Set(all.map(cellKey));
  const optionMasks = new Map<number, number>();
  for (const option of profile.options) {
    for (const cell of cells(option.place)) {
      const key = cellKey(cell);
      optionMasks.set(key, (optionMasks.get(key) ?? 0) | (option.bits ? maskOf(option.bits) : 0xff));
    }
  }
  const totals = keys(dump.totals.flatMap(({ stored }) => stored ?? []));
  const balance = keys(profile.balance.flatMap(({ place }) => cells(place)));
  const volatile = keys(profile.volatile.flatMap(({ place }) => cells(place)));

  const reasons = raw.map(({ afterRow, byte, was, now }) => {
    const key = cellKey({ row: afterRow, byte });
    const changed = (was ?? 0) ^ (now ?? 0);
    const isVolatile = volatile.has(key);
    let reason: DifferenceReason = 'unexplained';
    if (was === undefined || now === undefined) reason = 'unexplained';
    else if (totals.has(key)) reason = 'total';
    else if (isLineSum(dump, afterRow, byte)) reason = 'line-sum';
    else if (((optionMasks.get(key) ?? 0) & changed) === changed) reason = 'option';
    else if (balance.has(key)) reason = 'balance';
    return { reason, volatile: isVolatile };
  });
  return reasons;
}

function isLineSum({ layout }: Dump, row: number, byte: number): boolean {
  const data = layout.dataCount[row] as number;
  return data > 0 && layout.sumCount > 0 && byte >= data;
}

function optionDifferences(before: Dump, after: Dump): OptionDifference[] {
  return after.profile.options.flatMap((option) => {
    const was = readOption(before, option);
    const now = readOption(after, option);
    if (was === undefined || now === undefined || was.raw === now.raw) return [];
    return [{ option, before: wordsOrHex(option, was.raw), after: wordsOrHex(option, now.raw) }];
  });
}
