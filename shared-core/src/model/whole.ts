import { type Phrase, phrase } from '../base/phrase.js';
import { labelText } from '../format/dumpText.js';
import { isImage } from '../format/notationOf.js';
import { leavesDoubt } from '../image/imageRecords.js';
import { rangeInHex } from '../profile/places.js';
import type { Dump } from './dump.js';
import { labelOfRow } from './layout.js';

/** Something of a dump that could not be read, and the row that shows it. */
export interface Unread {
  readonly row: number;
  readonly why: Phrase;
}

/**
 * What of a dump could not be read, one sentence for each kind; none where it was read whole. Only two dumps that are
 * whole can be the same.
 */
export function whyNotWhole(dump: Dump): readonly Unread[] {
  if (!holdsRecords(dump)) return [{ row: 0, why: phrase('not one line of it is a record.') }];
  const { layout, invalidRows, wrongLengths, totals, rows } = dump;
  const name = (row: number) => labelText(labelOfRow(rows[row]) ?? row + 1);
  const [invalid] = invalidRows;
  const [repeated] = layout.repeated;
  const [length] = wrongLengths;
  const [unknown] = layout.kind === 'image' ? layout.unknown : [];
  const [missing] = layout.missing;
  const [gap] = layout.gaps;
  const doubt = layout.imageProblems.find(leavesDoubt);
  const total = totals.find(({ stored }) => stored === undefined);
  const last = layout.order.at(-1) ?? 0;
  const found: readonly (Unread | undefined)[] = [
    invalid === undefined
      ? undefined
      : { row: invalid, why: phrase('row {0} cannot be read ({1} in all).', invalid + 1, invalidRows.length) },
    repeated === undefined
      ? undefined
      : { row: repeated, why: phrase('line {0} is in it twice ({1} in all).', name(repeated), layout.repeated.length) },
    doubt && { row: doubt.row, why: phrase('row {0}: {1}', doubt.row + 1, doubt.message) },
    length === undefined
      ? undefined
      : {
          row: length,
          why: phrase('line {0} is too long or too short ({1} in all).', name(length), wrongLengths.length),
        },
    unknown === undefined
      ? undefined
      : {
          row: unknown,
          why: phrase('the label of row {0} is no address ({1} in all).', unknown + 1, layout.unknown.length),
        },
    missing === undefined
      ? undefined
      : { row: last, why: phrase('line {0} is missing ({1} in all).', missing, layout.missing.length) },
    gap && {
      row: gap.row,
      why: phrase('address {0} is missing ({1} gaps in all).', rangeInHex(gap), layout.gaps.length),
    },
    total && { row: last, why: phrase('the {0} is missing.', total.total.name) },
  ];
  return found.filter((one) => one !== undefined);
}

/** Whether at least one record of a dump was read; of an image, one with data. */
export function holdsRecords({ rows, notation, layout }: Pick<Dump, 'rows' | 'notation' | 'layout'>): boolean {
  // Of an image that was read in one pass, only some rows are at hand; what it holds shows in its problems.
  return isImage(notation)
    ? !layout.imageProblems.some(({ code }) => code === 'no-data' || code === 'text-unreadable')
    : rows.some(({ kind }) => kind === 'record');
}
