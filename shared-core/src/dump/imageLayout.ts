import { hex } from '../bytes/hex.js';
import type { Notation } from '../notation/notation.js';
import { isImage } from '../notation/notationOf.js';
import type { Row } from '../notation/row.js';
import type { Profile } from '../profile/profile.js';
import { phrase } from '../words/phrase.js';
import { type ImagePiece, type ImageProblem, readImage } from './imageRecords.js';
import { type Layout, layoutOfLines } from './layout.js';

/** The layout of a dump in any notation. */
export function layoutOf(rows: readonly Row[], notation: Notation, profile: Profile): Layout {
  return isImage(notation) ? layoutOfImage(rows, notation) : layoutOfLines(rows, profile);
}

/** The layout of a memory image: its data in the order of their addresses. All records have a sum, also those without data. */
export function layoutOfImage(rows: readonly Row[], notation: Notation): Layout {
  const { pieces, problems } = readImage(rows, notation);
  const dataCount = new Int32Array(rows.length);
  for (let row = 0; row < rows.length; row++) {
    const record = rows[row];
    if (record?.kind === 'record') dataCount[row] = record.count - 1;
    else if (record?.kind === 'broken') dataCount[row] = record.head?.data ?? 0;
  }
  const sorted = pieces.every((piece, i) => i === 0 || piece.address >= (pieces[i - 1] as ImagePiece).address)
    ? pieces
    : [...pieces].sort((a, b) => a.address - b.address);
  const order = new Int32Array(sorted.length);
  const keys = new Float64Array(sorted.length);
  for (let i = 0; i < sorted.length; i++) {
    order[i] = (sorted[i] as ImagePiece).row;
    keys[i] = (sorted[i] as ImagePiece).address;
  }
  const rowAt = (address: number) => {
    const at = keys.indexOf(address);
    return at < 0 ? undefined : order[at];
  };
  return {
    kind: 'image',
    order,
    keys,
    dataCount,
    sumCount: 1,
    rowOf: (label) => (typeof label === 'number' ? rowAt(label) : undefined),
    repeated: [],
    outOfOrder: [],
    missing: [],
    unknown: [],
    imageProblems: [...problems, ...overlaps(sorted)].sort((a, b) => a.row - b.row),
  };
}

function overlaps(sorted: readonly ImagePiece[]): ImageProblem[] {
  const found: ImageProblem[] = [];
  let reach = Number.NEGATIVE_INFINITY;
  let holder = 0;
  for (const { row, address, count } of sorted) {
    if (address < reach) {
      const message = phrase(
        'Address {0} is held by the record in row {1} too. Remove one of them.',
        hex(address, 4),
        holder + 1,
      );
      found.push({ code: 'overlap', row, message });
    }
    if (address + count > reach) {
      reach = address + count;
      holder = row;
    }
  }
  return found;
}
