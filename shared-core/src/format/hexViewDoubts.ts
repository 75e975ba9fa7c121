import { hex } from '../base/hex.js';
import { phrase } from '../base/phrase.js';
import { HEX_VIEW_ADDRESS, HEX_VIEW_TYPE, hexViewShape, shownCharacter } from './hexViewRow.js';
import { hasWords } from './hexViewWords.js';
import type { RowsDoubt } from './imageForm.js';
import { bytesOf, type RecordRow, type Row } from './row.js';
import type { Word } from './word.js';

const TYPE = HEX_VIEW_TYPE;

/** A row of a view and its number in the file. */
interface Listed {
  readonly at: number;
  readonly row: RecordRow;
}

/**
 * What is wrong with the rows of a hex view together: tools that print bytes leave no gaps, print all rows but the last in
 * one length and in one way, and mean addresses to one base. The first doubt of each kind.
 */
export function hexViewDoubts(rows: readonly Row[], word?: Word): readonly RowsDoubt[] {
  const all = rows.flatMap((row, at): Listed[] => (row.kind === 'record' ? [{ at, row }] : []));
  const data = all.filter(({ row }) => row.type !== TYPE.end);
  const printed = data.filter(({ row }) => row.type !== TYPE.repeated);
  const width = printed.reduce((most, { row }) => Math.max(most, row.count), 0);
  return [
    ...unlikeRows(all, printed, width, word),
    // A row that cannot be read has been named, and what is before it says nothing of what is behind it.
    ...(rows.some(({ kind }) => kind === 'broken') ? [] : firstBreak(data, width)),
    ...addressesInDoubt(all),
    ...(word === undefined ? orderInDoubt(printed) : []),
  ];
}

/** The first row that is printed in another way than the first one of data. */
function unlikeRows(
  all: readonly Listed[],
  printed: readonly Listed[],
  width: number,
  word: Word | undefined,
): RowsDoubt[] {
  const type = printed[0]?.row.type;
  const isOfWords = word !== undefined && printed[0] !== undefined && isInWords(printed[0].row, word);
  const other = all.find(({ row }) => {
    if (row.type === TYPE.repeated) return false;
    if (row.type === TYPE.end) return type === TYPE.xxd;
    // A word cut short may be a single byte.
    return row.type !== type || (word !== undefined && row.count > 1 && isInWords(row, word) !== isOfWords);
  });
  if (other !== undefined)
    return [
      {
        at: other.at,
        message: phrase(
          'This row is printed in another way than those before it. It may be cut off, or from another file.',
        ),
      },
    ];
  const isTrimmed = ({ row }: Listed) => row.count === width && bytesOf(row).every((byte) => byte === 0x20);
  const bare = printed.some(({ row }) => hasCharacters(row))
    ? printed.find((one) => !hasCharacters(one.row) && !isTrimmed(one))
    : undefined;
  return bare === undefined
    ? []
    : [
        {
          at: bare.at,
          message: phrase('This row has no characters beside its bytes, and others have them. It may be cut off.'),
        },
      ];
}

function isInWords({ text }: RecordRow, word: Word): boolean {
  const shape = hexViewShape(text, word);
  return shape !== undefined && hasWords(text, shape);
}

export function hasCharacters({ text }: RecordRow): boolean {
  return hexViewShape(text)?.characters !== undefined;
}

/** The first row that does not begin where the one before ends, or is short and not the last. */
function firstBreak(data: readonly Listed[], width: number): RowsDoubt[] {
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
    const isFull = row.count === width || row.type === TYPE.repeated || end % width === 0 || end % 0x10000 === 0;
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
export function isOtherBase(
  before: Pick<RecordRow, 'label' | 'count'> | undefined,
  row: Pick<RecordRow, 'label'>,
): boolean {
  if (before === undefined) return false;
  return ([8, 10] as const).some((base) => inBase(row, base) - inBase(before, base) === before.count);
}

/** Whether an address is the same number in each base that its digits may be of. */
function isSameInAllBases(row: RecordRow): boolean {
  return ([8, 10] as const).every((base) => {
    const number = inBase(row, base);
    return Number.isNaN(number) || number === row.label;
  });
}

function inBase({ label }: Pick<RecordRow, 'label'>, base: 8 | 10): number {
  const digits = Number(label).toString(16);
  return (base === 8 ? /^[0-7]+$/ : /^\d+$/).test(digits) ? Number.parseInt(digits, base) : Number.NaN;
}

/** Where addresses may be octal or decimal and no two rows that follow each other show that they are hex. */
function addressesInDoubt(all: readonly Listed[]): RowsDoubt[] {
  const first = all.find(({ row }) => mayBeOtherBase(row));
  if (first === undefined || all.every(({ row }) => isSameInAllBases(row))) return [];
  const isShown = all.some(({ row }, i) => {
    const before = all[i - 1]?.row;
    return (
      before !== undefined &&
      before.type !== TYPE.repeated &&
      row.type !== TYPE.repeated &&
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
function orderInDoubt(printed: readonly Listed[]): RowsDoubt[] {
  const orders = printed.map(({ row }) => wordOrder(row));
  const unknown = orders.indexOf('unknown');
  if (unknown < 0 || orders.includes('shown')) return [];
  return [
    {
      at: (printed[unknown] as Listed).at,
      message: phrase(
        'These digits are words whose order nobody can tell. Say which it is, "--word 2be" for what xxd prints and "--word 2le" for xxd -e, or print single bytes: xxd -g1.',
      ),
    },
  ];
}

/** Digits of an address as `od -A x` prints it; octal and decimal ones of `od` have seven. */
const DIGITS_OF_OD = 6;

/** Whether `od` may have printed the address of a row in octal, as it does by itself, or in decimal. */
export function mayBeOtherBase({ text, type }: RecordRow): boolean {
  const [found = '', blanks = ''] = HEX_VIEW_ADDRESS.exec(text) ?? [];
  return type === TYPE.od && found.length - blanks.length !== DIGITS_OF_OD;
}

/**
 * What a row shows of the order of the bytes in its groups: `xxd -e` prints words with the last byte first, and the
 * characters beside them in the order of the bytes. Of a row that was read they are those of its digits from left to right.
 */
export function wordOrder(row: RecordRow): 'shown' | 'unknown' | 'same' {
  const bytes = bytesOf(row);
  const reversed = reversedGroups(row);
  if (reversed.every((byte, i) => byte === bytes[i])) return 'same';
  const shape = hexViewShape(row.text);
  const isShown =
    shape?.characters !== undefined &&
    reversed.some((byte, i) => shownCharacter(byte) !== shownCharacter(bytes[i] as number));
  return isShown ? 'shown' : 'unknown';
}

/** The bytes of a row if each group is a word that is printed backwards. */
function reversedGroups({ text }: RecordRow): readonly number[] {
  const shape = hexViewShape(text);
  const groups = shape === undefined ? [] : (text.slice(shape.start, shape.end).match(/[0-9A-F]+/gi) ?? []);
  return groups.flatMap((group) => (group.match(/../g) ?? []).reverse().map((pair) => Number.parseInt(pair, 16)));
}
