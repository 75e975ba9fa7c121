import { roleOf } from '../format/imageForm.js';
import type { Notation } from '../format/notation.js';
import { NO_PROBLEMS, type Row } from '../format/row.js';
import type { Profile } from '../profile/profile.js';

/**
 * Whether the rows of an image are the lines that a profile describes, each called by its address, as those of raw bytes
 * are: every record carries its address, and none has a sum of its form.
 */
export function hasRowsAsLines({ image }: Pick<Notation, 'image'>, { geometry }: Pick<Profile, 'geometry'>): boolean {
  return geometry?.kind === 'lines' && canHaveRowsAsLines({ image });
}

/** Whether a profile could describe the rows of an image so. */
export function canHaveRowsAsLines({ image }: Pick<Notation, 'image'>): boolean {
  return image !== undefined && image.sum === undefined && image.running === undefined && !image.roles.includes('base');
}

/** The rows with those blank that are no data, such as the one that says how long a listing is. */
export function rowsOfData(rows: readonly Row[], notation: Pick<Notation, 'image'>): readonly Row[] {
  if (notation.image === undefined) return rows;
  return rows.map((row) =>
    row.kind === 'record' && roleOf(notation, row.type) !== 'data'
      ? { kind: 'blank', text: row.text, problems: NO_PROBLEMS }
      : row,
  );
}
