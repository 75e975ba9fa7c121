import { charactersIn, type Enclosed } from './characters.js';
import { type ByteStyle, type CutLine, cutLine, stylesOf } from './cutLine.js';
import { type LabelColumns, labelsAmong } from './labelColumns.js';

/** So many first groups of the bytes may be words before them, such as the label. */
const MOST_FIRST = 3;
/** More patterns than these are not looked at. */
const MOST_PATTERNS = 24;

/**
 * Patterns that may fit the lines of a text, likeliest first. The longest stretch of hex digits of a line is its bytes, and
 * among the words around it the label is what numbers the lines. What is the same in all lines is literal text; what
 * differs otherwise is skipped, or the sum. None where nothing numbers the lines.
 */
export function patternsOfLines(lines: readonly string[]): readonly string[] {
  const cut = charactersIn(lines.filter((line) => line.length < LONGEST));
  const found = [...(cut === undefined ? [] : patternsIn(cut.lines, cut.enclosed)), ...patternsIn(lines, undefined)];
  return [...new Set(found)].slice(0, MOST_PATTERNS);
}

/** A line of more characters has no characters beside its bytes. */
const LONGEST = 2048;

function patternsIn(lines: readonly string[], enclosed: Enclosed | undefined): readonly string[] {
  for (const style of stylesOf(lines)) {
    for (let first = 0; first <= MOST_FIRST; first++) {
      const found = patternsOf(lines, style, first, enclosed);
      if (found.length > 0) return found;
    }
  }
  return [];
}

function patternsOf(
  lines: readonly string[],
  style: ByteStyle,
  first: number,
  enclosed: Enclosed | undefined,
): readonly string[] {
  const cut = lines.flatMap((line) => cutLine(line, style, first) ?? []);
  const alike = mostAlike(cut, ({ before, behind }) => [before.length, behind.length]);
  const found = patternsOfAlike(alike, style, enclosed);
  // A few titles may have as many words as the lines, with other marks between them.
  const marked = mostAlike(cut, marksOf);
  const isMost = marked.length < alike.length && 2 * marked.length > alike.length;
  return isMost ? [...found, ...patternsOfAlike(marked, style, enclosed)] : found;
}

/** What is between the words of a line. */
function marksOf({ before, behind }: CutLine): readonly string[] {
  const marks = (parts: readonly string[]) => parts.map((part, i) => (i % 2 === 0 ? inOneBlank(part) : 'word'));
  return [...marks(before), 'bytes', ...marks(behind)];
}

function patternsOfAlike(
  alike: readonly CutLine[],
  style: ByteStyle,
  enclosed: Enclosed | undefined,
): readonly string[] {
  const [example] = alike;
  if (example === undefined || alike.length < 2) return [];
  const columnsOf = (side: keyof CutLine) => example[side].map((_, i) => alike.map((line) => line[side][i] as string));
  const [before, behind] = [columnsOf('before'), columnsOf('behind')];
  return [
    ...sidePatterns(before, behind, 'before', style, enclosed),
    ...(enclosed === undefined ? sidePatterns(before, behind, 'behind', style, enclosed) : []),
  ];
}

/** The lines that are of the same shape as most: as many words before and behind their bytes, or the same marks too. */
function mostAlike(
  lines: readonly CutLine[],
  shapeOf: (line: CutLine) => readonly (string | number)[],
): readonly CutLine[] {
  const shapes = new Map<string, CutLine[]>();
  for (const line of lines) {
    const shape = shapeOf(line).join('\n');
    const known = shapes.get(shape);
    if (known === undefined) shapes.set(shape, [line]);
    else known.push(line);
  }
  return [...shapes.values()].reduce<readonly CutLine[]>((most, next) => (next.length > most.length ? next : most), []);
}

type Columns = readonly (readonly string[])[];

interface SumColumn {
  readonly side: keyof CutLine;
  readonly at: number;
}

/** Patterns with the label before or behind the bytes. */
function sidePatterns(
  before: Columns,
  behind: Columns,
  side: keyof CutLine,
  { option }: ByteStyle,
  enclosed: Enclosed | undefined,
): readonly string[] {
  const own = side === 'before' ? before : behind;
  const words = own.filter((_, i) => i % 2 === 1);
  const between = (word: number) => same(own[2 * word + 2] ?? []);
  return labelsAmong(words, between).flatMap((label) => {
    const sums: readonly (SumColumn | undefined)[] = [
      ...sumColumns(behind, side === 'behind' ? label : undefined).map((at): SumColumn => ({ side: 'behind', at })),
      ...sumColumns(before, side === 'before' ? label : undefined).map((at): SumColumn => ({ side: 'before', at })),
    ];
    // A sum is next to the data, as a rule.
    const isNear = (sum: SumColumn | undefined) => sum?.at === (sum?.side === 'behind' ? 1 : before.length - 2);
    const inOrder = [...sums.filter(isNear), undefined, ...sums.filter((sum) => !isNear(sum))];
    return inOrder.map((sum) => {
      const text = (columns: Columns, which: keyof CutLine) =>
        written(columns, which === side ? label : undefined, sum?.side === which ? sum.at : undefined);
      const data = option === '' ? '{data}' : `{data:${option}}`;
      const tail = enclosed === undefined ? '' : ` ${enclosed.open}{characters}${enclosed.close}`;
      return tidy(`${text(before, 'before')}${data}${text(behind, 'behind')}${tail}`);
    });
  });
}

/** Words that are one to four bytes in hex, and not the same in all lines: one of them may be the sum. */
function sumColumns(columns: Columns, label: LabelColumns | undefined): readonly number[] {
  return columns.flatMap((column, i) => {
    const word = (i - 1) / 2;
    const isLabel = label !== undefined && word >= label.first && word < label.first + label.fields.length;
    return i % 2 === 1 && !isLabel && isSum(column) ? i : [];
  });
}

function isSum(words: readonly string[]): boolean {
  const length = words[0]?.length;
  const isLike = (word: string) => /^(?:[0-9a-f]{2}){1,4}$/i.test(word) && word.length === length;
  return words.some((word) => word !== words[0]) && words.filter(isLike).length * 10 >= words.length * 9;
}

function written(columns: Columns, label: LabelColumns | undefined, sum: number | undefined): string {
  return columns
    .map((column, i) => {
      const part = label === undefined || i % 2 === 0 ? -1 : (i - 1) / 2 - label.first;
      return label?.fields[part] ?? (i === sum ? '{sum}' : (same(column) ?? '{skip}'));
    })
    .join('');
}

/** The text that all lines have at a place, with one blank for several; undefined where it differs. */
function same(column: readonly string[]): string | undefined {
  const text = inOneBlank(column[0] ?? '');
  const often = column.filter((one) => inOneBlank(one) === text).length;
  return often === column.length || (often >= 0.9 * column.length && column.length > 9) ? text : undefined;
}

function inOneBlank(text: string): string {
  return text.replace(/\s+/g, (blanks) => (blanks.includes('\t') ? '\t' : ' '));
}

/** One field to skip in place of several with nothing but blanks between them. */
function tidy(pattern: string): string {
  return pattern
    .replace(/\{skip\}(?:[^{}\w]*\{skip\})+/g, '{skip}')
    .replace(/ {2,}/g, ' ')
    .trim();
}
