import { sumBytesOf } from '../format/imageForm.js';
import type { Notation } from '../format/notation.js';
import { isImage } from '../format/notationOf.js';
import type { Row } from '../format/row.js';
import { addPiece, byAddress, noPieces } from '../image/imagePieces.js';
import { type ImageReading, readImage } from '../image/imageRecords.js';
import { overlaps } from '../image/overlaps.js';
import type { Profile } from '../profile/profile.js';
import { type AgainstProfile, againstProfile, NO_PROFILE_TO_SAY } from './addressGaps.js';
import { type Layout, layoutOfLines } from './layout.js';
import { hasRowsAsLines, rowsOfData } from './rowsAsLines.js';

/** The layout of a dump in any notation. */
export function layoutOf(rows: readonly Row[], notation: Notation, profile: Profile): Layout {
  if (hasRowsAsLines(notation, profile)) return layoutOfRows(rows, notation, profile);
  if (isImage(notation)) return withGaps(layoutOfImage(rows, notation, readImage(rows, notation)), rows, profile);
  return profile.geometry?.kind === 'addresses'
    ? withGaps(layoutOfAddressedText(rows), rows, profile)
    : layoutOfLines(rows, profile);
}

/** An image whose rows are the lines of its profile; rows without data are none of them. */
function layoutOfRows(rows: readonly Row[], notation: Notation, profile: Profile): Layout {
  return { ...layoutOfLines(rowsOfData(rows, notation), profile), imageProblems: readImage(rows, notation).problems };
}

function withGaps(layout: Layout, rows: readonly Row[], profile: Profile): Layout {
  return { ...layout, ...againstProfileOf(layout, rows, profile) };
}

/** An image of which all rows are at hand beside what its profile describes. */
export function againstProfileOf(
  { order, keys, dataCount }: Pick<Layout, 'order' | 'keys' | 'dataCount'>,
  rows: readonly Row[],
  profile: Profile,
): AgainstProfile {
  const countOf = (index: number) => dataCount[order[index] as number] as number;
  const data = { length: order.length, rows: order, addresses: keys, countOf };
  return againstProfile(profile, data, lastRecord(rows));
}

/** The row of the last record, also of one that cannot be read; -1 where there is none. */
function lastRecord(rows: readonly Row[]): number {
  let row = rows.length - 1;
  while (row >= 0 && !isRecord(rows[row] as Row)) row--;
  return row;
}

function isRecord(row: Row): boolean {
  return row.kind === 'record' || (row.kind === 'broken' && !row.isStray);
}

/** A memory image as text whose labels are addresses; its lines have no sums of their own. */
function layoutOfAddressedText(rows: readonly Row[]): Layout {
  const pieces = noPieces();
  const unknown: number[] = [];
  rows.forEach((found, row) => {
    if (found.kind !== 'record') return;
    if (typeof found.label === 'number') addPiece(pieces, row, found.label, found.count);
    else unknown.push(row);
  });
  const problems = overlaps(byAddress(pieces));
  return { ...layoutOfImage(rows, { image: undefined }, { pieces, problems }), unknown };
}

/** The layout of a memory image: its data in the order of their addresses. */
export function layoutOfImage(
  rows: readonly Row[],
  notation: Pick<Notation, 'image'>,
  { pieces, problems }: Pick<ImageReading, 'pieces' | 'problems'>,
  against: AgainstProfile = NO_PROFILE_TO_SAY,
): Layout {
  const { rows: order, addresses: keys } = byAddress(pieces);
  const dataCount = new Int32Array(rows.length);
  for (let row = 0; row < rows.length; row++) dataCount[row] = dataBytesOf(notation, rows[row] as Row);
  return layoutOfPlaces({ order, keys, dataCount, sumCount: sumBytesOf(notation), problems, against });
}

/** The same from where the data lie. */
export function layoutOfPlaces({
  order,
  keys,
  dataCount,
  sumCount,
  problems,
  against,
}: Pick<Layout, 'order' | 'keys' | 'dataCount'> &
  Pick<ImageReading, 'problems'> & { readonly sumCount: number; readonly against: AgainstProfile }): Layout {
  const rowAt = (address: number) => {
    const at = keys.indexOf(address);
    return at < 0 ? undefined : order[at];
  };
  return {
    kind: 'image',
    order,
    keys,
    keyOf: (label) => (typeof label === 'number' ? label : undefined),
    dataCount,
    sumCountOf: () => sumCount,
    rowOf: (label) => (typeof label === 'number' ? rowAt(label) : undefined),
    repeated: [],
    outOfOrder: [],
    missing: [],
    unknown: [],
    ...against,
    imageProblems: problems,
  };
}

/** How many data bytes a row of an image should hold: all but its sum. */
export function dataBytesOf(notation: Pick<Notation, 'image'>, row: Row): number {
  if (row.kind === 'record') return row.count - sumBytesOf(notation);
  return row.kind === 'broken' ? (row.head?.data ?? 0) : 0;
}
