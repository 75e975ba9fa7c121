import { firstUnlike } from '../base/firstUnlike.js';
import { byteOf } from '../format/row.js';
import { type AddressSpan, type AddressView, isWithin, spanAt, viewByAddress } from '../model/byAddress.js';
import type { Dump } from '../model/dump.js';
import { joinedRanges } from '../profile/places.js';
import type { AddressRange } from '../profile/profile.js';
import type { RawDifference } from './reasons.js';

/** How two memory images differ, address by address, however their records are cut. */
export interface ImageDifferences {
  /** In the order of the addresses; record sums only of records that both sides cut alike. */
  readonly raw: readonly RawDifference[];
  readonly onlyBefore: readonly AddressRange[];
  readonly onlyAfter: readonly AddressRange[];
  readonly unsure: readonly AddressRange[];
  /** Rows of either side of which not even the address is known. */
  readonly unplaced: number;
  /** Rows whose own sum is wrong, where the other side has no such record whose sum could be compared with it. */
  readonly damaged: { readonly before: readonly number[]; readonly after: readonly number[] };
}

export function imageDifferences(before: Dump, after: Dump): ImageDifferences {
  const was = viewByAddress(before, holdsSumsOf(before, after));
  const now = viewByAddress(after, holdsSumsOf(after, before));
  const unsure = joinedRanges([...was.unsure, ...now.unsure]);
  const wrong = { was: new Set(before.wrongSums), now: new Set(after.wrongSums) };
  const raw: RawDifference[] = [];
  const onlyBefore: AddressRange[] = [];
  const onlyAfter: AddressRange[] = [];
  const alike = { before: new Set<number>(), after: new Set<number>() };
  walkTogether(was, now, (from, to, a, b) => {
    if (b === undefined) onlyBefore.push({ from, to });
    else if (a === undefined) onlyAfter.push({ from, to });
    else {
      const count = raw.length;
      addDifferences(raw, before, after, from, to, a, b);
      // The sum of a record follows from its data and from how its address is written, which is nothing of the memory.
      const isWrong = wrong.was.has(a.row) || wrong.now.has(b.row);
      if (raw.length > count || isWrong) addSumOf(raw, before, after, to, a, b);
      if (!isWrong || !isCutAlike(before, after, a, b)) return;
      alike.before.add(a.row);
      alike.after.add(b.row);
    }
  });
  return {
    raw: unsure.length === 0 ? raw : raw.filter(({ address = -1 }) => !isWithin(unsure, address)),
    onlyBefore: joinedRanges(onlyBefore),
    onlyAfter: joinedRanges(onlyAfter),
    unsure,
    unplaced: was.unplaced + now.unplaced,
    damaged: { before: damagedRows(before, after, alike.before), after: damagedRows(after, before, alike.after) },
  };
}

/** Whether an image has a byte wherever the sums of lines would lie behind their data: it is the same memory in other lines. */
function holdsSumsOf(lines: Dump, image: Dump): boolean {
  const { layout } = lines;
  if (layout.kind !== 'lines' || image.layout.kind !== 'image') return false;
  const { spans } = viewByAddress(image);
  return Array.from(layout.order).every((row, i) => {
    const behind = (layout.keys[i] as number) + (layout.dataCount[row] as number);
    const next = layout.keys[i + 1] ?? Number.POSITIVE_INFINITY;
    const count = layout.sumCountOf(row);
    return behind + count <= next && Array.from({ length: count }).every((_, at) => spanAt(spans, behind + at));
  });
}

/** Goes through the addresses of both sides, giving each stretch in which neither begins nor ends a span. */
function walkTogether(
  { spans: left }: AddressView,
  { spans: right }: AddressView,
  visit: (from: number, to: number, a: AddressSpan | undefined, b: AddressSpan | undefined) => void,
): void {
  const endOf = ({ address, count }: AddressSpan) => address + count;
  let at = 0;
  for (let i = 0, j = 0; i < left.length || j < right.length; ) {
    const [a, b] = [left[i], right[j]];
    const firstA = a ? Math.max(a.address, at) : Number.POSITIVE_INFINITY;
    const firstB = b ? Math.max(b.address, at) : Number.POSITIVE_INFINITY;
    const from = Math.min(firstA, firstB);
    const end = Math.min(
      ...(a ? [firstA > from ? firstA : endOf(a)] : []),
      ...(b ? [firstB > from ? firstB : endOf(b)] : []),
    );
    visit(from, end - 1, firstA === from ? a : undefined, firstB === from ? b : undefined);
    at = end;
    if (a && endOf(a) <= at) i++;
    if (b && endOf(b) <= at) j++;
  }
}

function addDifferences(
  raw: RawDifference[],
  before: Dump,
  after: Dump,
  from: number,
  to: number,
  a: AddressSpan,
  b: AddressSpan,
): void {
  const [was, now] = [before.rows[a.row], after.rows[b.row]];
  if (was?.kind !== 'record' || now?.kind !== 'record') return;
  const [inA, inB] = [a.byte + from - a.address, b.byte + from - b.address];
  const [old, fresh] = [
    { store: was.store, from: was.from + inA },
    { store: now.store, from: now.from + inB },
  ];
  const count = to + 1 - from;
  for (let i = firstUnlike(old, fresh, 0, count); i < count; i = firstUnlike(old, fresh, i + 1, count))
    raw.push({
      ...{ beforeRow: a.row, afterRow: b.row, byte: inB + i, address: from + i },
      ...{ was: byteOf(was, inA + i), now: byteOf(now, inB + i) },
    });
}

/** The sums of two records that hold the same addresses, whose last one is `to`. */
function addSumOf(raw: RawDifference[], before: Dump, after: Dump, to: number, a: AddressSpan, b: AddressSpan): void {
  const [was, now] = [before.rows[a.row], after.rows[b.row]];
  if (was?.kind !== 'record' || now?.kind !== 'record') return;
  const sum = after.layout.dataCount[b.row] as number;
  if (!isCutAlike(before, after, a, b) || to !== a.address + sum - 1 || sum === now.count) return;
  const [old, fresh] = [byteOf(was, sum), byteOf(now, sum)];
  if (old !== fresh) raw.push({ beforeRow: a.row, afterRow: b.row, byte: sum, was: old, now: fresh });
}

/** Whether two records hold the same addresses in the same form, so that their sums can be compared. */
function isCutAlike(before: Dump, after: Dump, a: AddressSpan, b: AddressSpan): boolean {
  const [was, now] = [before.rows[a.row], after.rows[b.row]];
  return (
    was?.kind === 'record' &&
    now?.kind === 'record' &&
    was.count === now.count &&
    before.notation.id === after.notation.id &&
    a.byte + b.byte === 0 &&
    a.address === b.address
  );
}

/** Records with a wrong sum that were not compared as such, and that the other side has not letter by letter either. */
function damagedRows(dump: Dump, other: Dump, compared: ReadonlySet<number>): readonly number[] {
  if (dump.layout.kind !== 'image') return [];
  const there = new Set(other.wrongSums.map((row) => other.rows[row]?.text.trim()));
  return dump.wrongSums.filter((row) => !compared.has(row) && !there.has(dump.rows[row]?.text.trim()));
}
