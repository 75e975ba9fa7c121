import { firstUnlike } from '../base/firstUnlike.js';
import { finish } from '../base/steps.js';
import { sumBytesOf } from '../format/imageForm.js';
import { type RawBytes, rawLineCount } from '../format/rawBytes.js';
import { NO_PROBLEMS, type Row } from '../format/row.js';
import type { GatheredBytes, GatheredRun } from '../image/imageBytes.js';
import { addPiece, byAddress, type ImagePieces, noPieces } from '../image/imagePieces.js';
import { newImage } from '../image/imageState.js';
import { placesOf, wantedAddresses } from '../image/profilePlaces.js';
import type { Dump } from '../model/dump.js';
import { layoutOfPlaces } from '../model/imageLayout.js';
import { layoutOfLines } from '../model/layout.js';
import { bindTotals } from '../model/totals.js';
import type { AddressRange } from '../profile/profile.js';
import { isReadAs } from '../profile/slotPlaces.js';
import { type ImageFile, type Pass, passInSteps } from './imageScan.js';
import { gatheredRaw, rawRowsAt } from './rawScan.js';

/** A dump that was made in one pass over its file, with all its bytes and a way to more of its rows. */
export interface PassedImage {
  readonly dump: Dump;
  readonly bytes: GatheredBytes;
  /** The rows that hold data at some addresses, or where the profile speaks of them, and where their data lie. */
  readonly rowsAt: (ranges: readonly AddressRange[]) => PlacedRows;
}

interface PlacedRows {
  readonly rows: ReadonlyMap<number, Row>;
  readonly pieces: ImagePieces;
}

/** Of a memory image whose pass gathered all bytes. */
export function passedImage(
  file: ImageFile,
  dump: Dump,
  { state, kept, found, passed }: Pass,
): PassedImage | undefined {
  const { bytes } = state;
  if (bytes === undefined) return undefined;
  const rowsAt = (ranges: readonly AddressRange[]) => {
    if (ranges.length === 0) return { rows: kept, pieces: found };
    const isWanted = wantedAddresses(placesOf(dump.profile), ranges);
    const again = finish(passInSteps(file, newImage(file.notation, undefined), { isWanted, known: passed }));
    return { rows: again.kept, pieces: again.found };
  };
  return { dump, bytes, rowsAt };
}

/** Of raw bytes. */
export function passedRaw(raw: RawBytes, dump: Dump): PassedImage {
  const bytes = gatheredRaw(raw, dump.rows.length - 1 - rawLineCount(raw));
  const rowsAt = (ranges: readonly AddressRange[]) =>
    rawRowsAt(raw, bytes, wantedAddresses(placesOf(dump.profile), ranges));
  return { dump, bytes, rowsAt };
}

/**
 * Dumps that are to be compared with the first of them, as whole as `compareDumps` needs them: each row that differs in any of
 * them is at hand, and what is the same in all stands in a few long records. Undefined where only all rows tell how they differ:
 * something is wrong with one of them, or they are not alike.
 */
export function together(all: readonly PassedImage[]): readonly Dump[] | undefined {
  const [first, ...others] = all;
  if (first === undefined || !all.every(({ dump }) => isSound(dump))) return undefined;
  if (!others.every((other) => areAlike(first, other))) return undefined;
  const differing = others.flatMap((other) => differences(first.bytes, other.bytes));
  return all.map((one) => withRowsAt(one, differing));
}

/** Whether all dumps hold the same bytes at the same addresses. */
export function areSame([first, ...others]: readonly PassedImage[]): boolean {
  return first === undefined || others.every((other) => differences(first.bytes, other.bytes).length === 0);
}

function isSound({ invalidRows, wrongSums, wrongLengths, layout }: Dump): boolean {
  return invalidRows.length + wrongSums.length + wrongLengths.length + layout.imageProblems.length === 0;
}

/** Whether two dumps are read by one profile, and both are images, or lines that begin at the same addresses. */
function areAlike({ dump: a, bytes: one }: PassedImage, { dump: b, bytes: other }: PassedImage): boolean {
  if (!isReadAs(a.profile, b.profile) && !isReadAs(b.profile, a.profile)) return false;
  if (a.layout.kind !== b.layout.kind) return false;
  return a.layout.kind === 'image' || one.runs[0]?.address === other.runs[0]?.address;
}

/** Differences begin and end at multiples of so many addresses, as lines of raw bytes do. */
const STRETCH = 16;

/** Where either of two images has a byte that the other has not, with some around it. */
function differences(one: GatheredBytes, other: GatheredBytes): readonly AddressRange[] {
  const [left, right] = [rising(one), rising(other)];
  const found: { from: number; to: number }[] = [];
  const add = (from: number, end: number) => {
    const last = found.at(-1);
    const begin = from - (from % STRETCH);
    const to = end - 1 + STRETCH - 1 - ((end - 1) % STRETCH);
    if (last !== undefined && begin <= last.to + 1) last.to = Math.max(to, last.to);
    else found.push({ from: begin, to });
  };
  let at = 0;
  for (let i = 0, j = 0; i < left.length || j < right.length; ) {
    const [a, b] = [left[i], right[j]];
    const [beginA, endA] = extent(a, at);
    const [beginB, endB] = extent(b, at);
    const from = Math.min(beginA, beginB);
    const end = Math.min(beginA > from ? beginA : endA, beginB > from ? beginB : endB);
    if (a === undefined || b === undefined || beginA !== beginB) add(from, end);
    else {
      const was = { store: one.store, from: a.from + from - a.address };
      const now = { store: other.store, from: b.from + from - b.address };
      for (let i = firstUnlike(was, now, 0, end - from); i < end - from; i = firstUnlike(was, now, i + 1, end - from))
        add(from + i, from + i + 1);
    }
    at = end;
    if (endA <= at) i++;
    if (endB <= at) j++;
  }
  return found;
}

/** Where a run begins and ends from an address on; behind all where there is none. */
function extent(run: GatheredRun | undefined, at: number): readonly [begin: number, end: number] {
  const behind = Number.POSITIVE_INFINITY;
  return run === undefined ? [behind, behind] : [Math.max(run.address, at), run.address + run.count];
}

function rising({ runs }: GatheredBytes): readonly GatheredRun[] {
  return runs.filter(({ count }) => count > 0).sort((a, b) => a.address - b.address);
}

/** A dump with its rows at some addresses at hand. */
function withRowsAt({ dump, bytes, rowsAt }: PassedImage, ranges: readonly AddressRange[]): Dump {
  const more = rowsAt(ranges);
  const rows = dump.rows.slice();
  for (const [row, one] of more.rows) rows[row] = one;
  return dump.layout.kind === 'image'
    ? withLongRecords(dump, rows, bytes, more.pieces)
    : { ...dump, rows, layout: layoutOfLines(rows, dump.profile) };
}

/** An image of which some rows are at hand, with a record of any length for each stretch of data between them. */
function withLongRecords(dump: Dump, rows: Row[], bytes: GatheredBytes, some: ImagePieces): Dump {
  const { notation, profile } = dump;
  const all = noPieces();
  const long = new Set<number>();
  const dataCount = new Int32Array(rows.length);
  const add = (row: number, address: number, count: number) => {
    addPiece(all, row, address, count);
    dataCount[row] = count;
  };
  const own = byAddress(some);
  let i = 0;
  for (const run of rising(bytes)) {
    const end = run.address + run.count;
    let [at, row] = [run.address, run.row];
    const addLong = (to: number) => {
      if (to <= at) return;
      const [from, count] = [run.from + at - run.address, to - at];
      rows[row] = { ...LONG, label: at, store: bytes.store, from, count };
      long.add(row);
      add(row, at, count);
    };
    for (; i < own.length && (own.addresses[i] as number) < end; i++) {
      const [first, count] = [own.addresses[i] as number, own.counts[i] as number];
      addLong(first);
      add(own.rows[i] as number, first, count);
      // What follows it in the run follows it in the file.
      row = (own.rows[i] as number) + 1;
      at = first + count;
    }
    addLong(end);
  }
  const { rows: order, addresses: keys } = byAddress(all);
  const sumCount = sumBytesOf(notation);
  const { gaps, beyond, imageProblems: problems } = dump.layout;
  const layout = {
    ...layoutOfPlaces({ order, keys, dataCount, sumCount, problems, against: { gaps, beyond } }),
    sumCountOf: (row: number) => (long.has(row) ? 0 : sumCount),
  };
  return { ...dump, rows, layout, totals: bindTotals(layout, rows, profile) };
}

const LONG = { kind: 'record', text: '', type: undefined, problems: NO_PROBLEMS } as const;
