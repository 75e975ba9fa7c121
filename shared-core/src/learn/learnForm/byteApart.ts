import type { Notation } from '../../format/notation.js';
import type { RecordRow, Row } from '../../format/row.js';

/** An end of lines. */
export type End = 'front' | 'back';

/** So many of the lines show by a sign which byte is apart; the others may be damaged. */
const MOST = 0.9;

/** The end at which the lines of some texts set one byte apart by a sign, such as a bar, that is between no others of them; undefined where none is. */
export function endSetApart(texts: readonly (readonly Row[])[], notation: Notation): End | undefined {
  const ends = texts.flatMap((rows) =>
    rows.flatMap((row) => (row.kind === 'record' && row.count > 2 ? [endOf(row, notation.digitPlaces(row))] : [])),
  );
  const isAt = (end: End) => ends.filter((one) => one === end).length >= MOST * ends.length;
  return ends.length === 0 ? undefined : (['back', 'front'] as const).find(isAt);
}

function endOf({ text }: RecordRow, places: readonly number[]): End | undefined {
  const signs: boolean[] = [];
  for (let at = 1; at + 1 < places.length; at += 2)
    signs.push(/[^\s0-9A-Za-z]/.test(text.slice((places[at] as number) + 1, places[at + 1])));
  if (signs.indexOf(true) === signs.length - 1) return 'back';
  return signs.lastIndexOf(true) === 0 ? 'front' : undefined;
}
