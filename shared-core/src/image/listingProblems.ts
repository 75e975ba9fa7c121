import { hex } from '../base/hex.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { roleOf } from '../format/imageForm.js';
import type { Notation } from '../format/notation.js';
import type { RecordRow, Row } from '../format/row.js';
import type { ImageProblem } from './imageProblems.js';

/** A row of a listing and its number in the file. */
interface Listed {
  readonly at: number;
  readonly row: RecordRow;
}

/**
 * What is wrong with the rows of a listing together: tools that print bytes leave no gaps, print all rows but the last
 * in one length and in one way, and read addresses to the base that they print them to. The first doubt of each kind.
 */
export function listingProblems(rows: readonly Row[], notation: Notation): readonly ImageProblem[] {
  const listing = notation.image?.listing;
  if (listing === undefined) return [];
  const all = rows.flatMap((row, at): Listed[] => (row.kind === 'record' ? [{ at, row }] : []));
  const data = all.filter(({ row }) => roleOf(notation, row.type) === 'data');
  const printed = data.filter(({ row }) => row.type !== listing.repeated);
  const width = printed.reduce((most, { row }) => Math.max(most, row.count), 0);
  return [
    ...unlikeRows(notation, all, printed, width),
    // A row that cannot be read has been named, and what is before it says nothing of what is behind it.
    ...(rows.some(({ kind }) => kind === 'broken') ? [] : firstBreak(data, width, listing.repeated)),
    ...addressesInDoubt(all, listing),
    ...orderInDoubt(printed, listing),
  ]
    .sort((a, b) => a.at - b.at)
    .map(({ at, message }): ImageProblem => ({ code: 'address-unknown', row: at, message }));
}

interface Doubt {
  readonly at: number;
  readonly message: Phrase;
}

/** The first row that is printed in another way than the first one of data. */
function unlikeRows(notation: Notation, all: readonly Listed[], printed: readonly Listed[], width: number): Doubt[] {
  const type = printed[0]?.row.type;
  const listing = notation.image?.listing;
  const other = all.find(
    ({ row }) =>
      row.type !== listing?.repeated &&
      (roleOf(notation, row.type) === 'end'
        ? type !== undefined && notation.image?.end?.follows?.(type) !== true
        : row.type !== type),
  );
  if (other !== undefined)
    return [
      {
        at: other.at,
        message: phrase(
          'This row is printed in another way than those before it. It may be cut off, or from another file.',
        ),
      },
    ];
  const hasCharacters = ({ row }: Listed) => notation.characters?.(row) !== undefined;
  const isTrimmed = ({ row }: Listed) =>
    row.count === width && row.store.subarray(row.from, row.from + row.count).every((byte) => byte === 0x20);
  const bare = printed.some(hasCharacters) ? printed.find((one) => !hasCharacters(one) && !isTrimmed(one)) : undefined;
  return bare === undefined
    ? []
    : [
        {
          at: bare.at,
          message: phrase('This row has no characters beside its bytes, and others have them. It may be cut off.'),
        },
      ];
}

/** The first row that does not begin where the one before ends, or is short and not the last. */
function firstBreak(data: readonly Listed[], width: number, repeated: number): Doubt[] {
  for (const [i, { at, row }] of data.entries()) {
    const before = data[i - 1]?.row;
    const address = Number(row.label);
    const next = before === undefined ? address : Number(before.label) + before.count;
    if (address !== next) {
      const message = isOtherBase(before, row)
        ? phrase(
            'This address follows the row before it as a decimal or octal number, and here addresses are hex. Print them in hex: xxd without -d, od with -A x.',
          )
        : phrase(
            'This row is at {0}, and the one before it ends at {1}. Programs that print bytes leave nothing out: rows are missing, or an address is wrong.',
            hex(address, 4),
            hex(next, 4),
          );
      return [{ at, message }];
    }
    const end = address + row.count;
    const isFull = row.count === width || row.type === repeated || end % width === 0 || end % 0x10000 === 0;
    if (!isFull && i > 0 && i < data.length - 1)
      return [
        {
          at,
          message: phrase('This row has {0} bytes and others have {1}. Bytes may be missing here.', row.count, width),
        },
      ];
  }
  return [];
}

/** Whether an address follows that of the row before not in hex, but as a decimal or octal number of the same digits. */
function isOtherBase(before: RecordRow | undefined, row: RecordRow): boolean {
  if (before === undefined) return false;
  return ([8, 10] as const).some((base) => inBase(row, base) - inBase(before, base) === before.count);
}

function inBase({ label }: RecordRow, base: 8 | 10): number {
  const digits = Number(label).toString(16);
  return (base === 8 ? /^[0-7]+$/ : /^\d+$/).test(digits) ? Number.parseInt(digits, base) : Number.NaN;
}

type Listing = NonNullable<NonNullable<Notation['image']>['listing']>;

/** Where addresses may be octal or decimal and no two rows that follow each other show that they are hex. */
function addressesInDoubt(all: readonly Listed[], { mayBeOtherBase, repeated }: Listing): Doubt[] {
  const first = all.find(({ row }) => mayBeOtherBase(row));
  if (first === undefined) return [];
  const isShown = all.some(({ row }, i) => {
    const before = all[i - 1]?.row;
    return (
      before !== undefined &&
      before.type !== repeated &&
      row.type !== repeated &&
      before.count > 0 &&
      Number(row.label) - Number(before.label) === before.count &&
      !isOtherBase(before, row)
    );
  });
  return isShown
    ? []
    : [
        {
          at: first.at,
          message: phrase(
            'These addresses may be octal or decimal, and no row shows which. Print them in hex: od -A x -t x1.',
          ),
        },
      ];
}

/** Where groups are words whose order nothing shows: read backwards they would have the same characters beside them. */
function orderInDoubt(printed: readonly Listed[], { wordOrder }: Listing): Doubt[] {
  const orders = printed.map(({ row }) => wordOrder(row));
  const unknown = orders.indexOf('unknown');
  if (unknown < 0 || orders.includes('shown')) return [];
  return [
    {
      at: (printed[unknown] as Listed).at,
      message: phrase('These digits are words whose order nobody can tell. Print single bytes: xxd -g1.'),
    },
  ];
}
