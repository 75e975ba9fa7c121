import { hex } from '../base/hex.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { formOf } from '../format/forms.js';
import type { Notation } from '../format/notation.js';

/** What can be wrong with the records of a memory image as a whole. */
export type ImageProblemCode =
  | 'no-data'
  | 'end-missing'
  | 'end-counted'
  | 'end-repeated'
  | 'data-after-end'
  | 'overlap'
  | 'record-count'
  | 'address-wrap'
  | 'address-unknown'
  | 'text-unreadable';

export interface ImageProblem {
  readonly code: ImageProblemCode;
  readonly row: number;
  readonly message: Phrase;
  /** The id of the form that the file is written in, where it is none of what its name promises. */
  readonly written?: string;
}

/** Whether a problem leaves bytes or addresses in doubt. A count of the records shows as well as an end record that nothing was cut off. */
export function leavesDoubt({ code }: ImageProblem): boolean {
  return code !== 'end-counted';
}

export function endMissing({ image }: Notation, row: number, isCounted: boolean): ImageProblem {
  const end = image?.end;
  const message = (isCounted ? end?.missingButCounted : undefined) ?? end?.missing ?? phrase('The end is missing.');
  return { code: isCounted ? 'end-counted' : 'end-missing', row, message };
}

export function noData(row: number): ImageProblem {
  return { code: 'no-data', row, message: phrase('There are no data in this file.') };
}

export function wrongEnd(row: number, address: number): ImageProblem {
  const message = phrase(
    'This row says that the data end at {0}, and they do not. Rows are missing or too many, or its number is wrong.',
    hex(address, 4),
  );
  return { code: 'address-unknown', row, message };
}

export function withoutBytes(row: number): ImageProblem {
  return {
    code: 'address-unknown',
    row,
    message: phrase('No bytes follow this address. Put them in, or take it out.'),
  };
}

export function addressUnknown(row: number, sameUnit: boolean): ImageProblem {
  const message = sameUnit
    ? phrase('The address of these bytes is not known: no row before them says it, or one before them cannot be read.')
    : phrase('The words of this row have another number of digits than those before, so its address is not known.');
  return { code: 'address-unknown', row, message };
}

export function overlap(row: number, address: number, holder: number, count: number): ImageProblem {
  const message =
    count === 1
      ? phrase('Address {0} is held by the record in row {1} too. Remove one of them.', hex(address, 4), holder + 1)
      : phrase(
          'Address {0} is held by the record in row {1} too; all {2} records from here on repeat addresses of others. Remove one copy.',
          hex(address, 4),
          holder + 1,
          count,
        );
  return { code: 'overlap', row, message };
}

export function noRecords({ id }: Notation, row: number): ImageProblem {
  const message = phrase(
    'No line of this file can be read as {0}. If it is written in another form, give its name the ending of that.',
    formOf(id)?.title ?? id,
  );
  return { code: 'text-unreadable', row, message };
}

export function foreignImage(
  { id }: Notation,
  { row, form }: { readonly row: number; readonly form: string },
): ImageProblem {
  const [own, other] = [formOf(id), formOf(form)];
  const message = phrase(
    'This file holds {0}, not {1} as its name says. Give its name the ending "{2}".',
    other?.title ?? form,
    own?.title ?? id,
    `.${other?.endings[0] ?? ''}`,
  );
  return { code: 'text-unreadable', row, written: form, message };
}

export function wrongCount(row: number, said: number, counted: number): ImageProblem {
  const message = phrase(
    'This record counts {0} (hex) data records; there are {1} (hex) before it.',
    hex(said),
    hex(counted),
  );
  return { code: 'record-count', row, message };
}

export function endRepeated(row: number, first: number): ImageProblem {
  return {
    code: 'end-repeated',
    row,
    message: phrase('A second end record; the first is in row {0}. Remove one.', first + 1),
  };
}

export function wrap(row: number, limit: string): ImageProblem {
  return {
    code: 'address-wrap',
    row,
    message: phrase(
      'This record runs over the {0} limit of its addresses; programs differ in what they make of it. Split it.',
      limit,
    ),
  };
}

export function dataAfterEnd(row: number, end: number): ImageProblem {
  const message = phrase('Data after the end record in row {0}: most programs will not read them.', end + 1);
  return { code: 'data-after-end', row, message };
}
