import type { Notation } from '../notation/notation.js';
import { isImage } from '../notation/notationOf.js';
import type { Row } from '../notation/row.js';
import type { Profile } from '../profile/profile.js';
import { byAddress } from './imagePieces.js';
import { type ImageReading, readImage } from './imageRecords.js';
import { type Layout, layoutOfLines } from './layout.js';

/** The layout of a dump in any notation. */
export function layoutOf(rows: readonly Row[], notation: Notation, profile: Profile): Layout {
  return isImage(notation) ? layoutOfImage(rows, readImage(rows, notation)) : layoutOfLines(rows, profile);
}

/** The layout of a memory image: its data in the order of their addresses. All records have a sum, also those without data. */
export function layoutOfImage(rows: readonly Row[], { pieces, problems }: ImageReading): Layout {
  const dataCount = new Int32Array(rows.length);
  for (let row = 0; row < rows.length; row++) {
    const record = rows[row];
    if (record?.kind === 'record') dataCount[row] = record.count - 1;
    else if (record?.kind === 'broken') dataCount[row] = record.head?.data ?? 0;
  }
  const { rows: order, addresses: keys } = byAddress(pieces);
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
    imageProblems: problems,
  };
}
