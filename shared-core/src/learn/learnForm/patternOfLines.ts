/** A line taken apart around its bytes: what stands before, the bytes as groups of hex digits, and what stands behind. */
interface CutLine {
  readonly before: readonly string[];
  readonly behind: readonly string[];
}

/**
 * Patterns that fit the lines of a text: the longest stretch of hex digits of a line is its bytes, and among the words
 * around it the label is the one that counts up from line to line. What is the same in all lines is literal text; what
 * differs otherwise is skipped, or the sum. Best first; none where no word counts up.
 */
export function patternsOfLines(lines: readonly string[]): readonly string[] {
  const cut = lines.map(cutLine).filter((line) => line !== undefined);
  const shapes = new Map<string, CutLine[]>();
  for (const line of cut) {
    const shape = `${line.before.length} ${line.behind.length}`;
    shapes.set(shape, [...(shapes.get(shape) ?? []), line]);
  }
  const alike = [...shapes.values()].reduce<readonly CutLine[]>(
    (most, next) => (next.length > most.length ? next : most),
    [],
  );
  const [first] = alike;
  if (first === undefined || alike.length < 2) return [];
  const columns = {
    before: first.before.map((_, i) => alike.map(({ before }) => before[i] as string)),
    behind: first.behind.map((_, i) => alike.map(({ behind }) => behind[i] as string)),
  };
  const all = [...columns.before, ...columns.behind];
  const found = all.map(labelField);
  const label = found.findIndex((field) => field !== undefined);
  if (label < 0) return [];
  const sum = columns.behind.findIndex(isSum);
  const sumAt = sum < 0 ? -1 : columns.before.length + sum;
  const written = (withSum: boolean) =>
    all.map((column, i) => (i === label ? (found[i] as string) : withSum && i === sumAt ? '{sum}' : literal(column)));
  return (sum < 0 ? [false] : [true, false]).map((withSum) => {
    const texts = written(withSum);
    const before = texts.slice(0, columns.before.length).join('');
    return tidy(`${before}{data}${texts.slice(columns.before.length).join('')}`);
  });
}

/** Words, and what stands between them: at odd places of the list stands a word. */
const WORD = /([0-9A-Za-z_]+)/;

/** Pairs of hex digits with at most blanks or one bar between them. */
const BYTES = /(?:[0-9A-Fa-f]{2})+(?:[ \t]+(?:\|[ \t]*)?(?:[0-9A-Fa-f]{2})+)*/g;

function cutLine(text: string): CutLine | undefined {
  const line = text.trim();
  let best: { start: number; end: number } | undefined;
  for (const match of line.matchAll(BYTES)) {
    let start = match.index;
    let end = start + match[0].length;
    // A word that goes on with other letters is no hex; a stretch of bytes begins and ends with a whole word.
    if (/\w/.test(line[start - 1] ?? '')) start += /^\w+\s*/.exec(match[0])?.[0].length ?? 0;
    if (/\w/.test(line[end] ?? '')) end -= /\s*\w+$/.exec(line.slice(start, end))?.[0].length ?? 0;
    if (end > start && (best === undefined || end - start > best.end - best.start)) best = { start, end };
  }
  if (best === undefined) return undefined;
  // The first group may be the label and not a byte: it is looked at like the words before it.
  const bytes = line.slice(best.start, best.end);
  const lead = /^\w+[ \t]+(?=\w)/.exec(bytes)?.[0] ?? '';
  const before = line.slice(0, best.start);
  const cutAt = WORD.test(before) ? before : before + lead;
  return { before: cutAt.split(WORD), behind: line.slice(best.end).split(WORD) };
}

/** The field of the column that counts the lines, with letters before it that are the same in all lines. */
function labelField(words: readonly string[]): string | undefined {
  const field = countingField(words);
  if (field !== undefined) return field;
  const letters = /^[A-Za-z_]+/.exec(words[0] ?? '')?.[0] ?? '';
  for (let length = letters.length; length > 0; length--) {
    const lead = letters.slice(0, length);
    const behind = words.every((word) => word.startsWith(lead))
      ? countingField(words.map((word) => word.slice(length)))
      : undefined;
    if (behind !== undefined) return lead + behind;
  }
  return undefined;
}

/** `{label}` or `{label:hex}` where most words of a column count up by one from line to line; a few may be other words. */
function countingField(words: readonly string[]): string | undefined {
  const stepsOf = (written: RegExp, base: 10 | 16) => {
    const numbers = words
      .filter((word) => written.test(word))
      .map((word) => (/^0x/i.test(word) ? Number(word) : Number.parseInt(word, base)));
    return numbers.slice(1).filter((number, i) => number === (numbers[i] as number) + 1).length;
  };
  const decimal = stepsOf(/^(?:\d{1,10}|0x[0-9a-f]{1,8})$/i, 10);
  const hex = stepsOf(/^[0-9a-f]{1,8}$/i, 16);
  const most = Math.max(decimal, hex);
  if (most === 0 || most * 10 < (words.length - 1) * 8) return undefined;
  return decimal === most ? '{label}' : '{label:hex}';
}

/** A word behind the data that is one to four bytes in hex, and not the same in all lines, is the sum. */
function isSum(words: readonly string[]): boolean {
  const length = words[0]?.length;
  return (
    words.some((word) => word !== words[0]) &&
    words.every((word) => /^(?:[0-9a-f]{2}){1,4}$/i.test(word) && word.length === length)
  );
}

function literal(column: readonly string[]): string {
  return column.every((text) => text === column[0]) ? (column[0] as string) : '{skip}';
}

/** One field to skip in place of several with nothing but blanks between them. */
function tidy(pattern: string): string {
  return pattern
    .replace(/\{skip\}(?:[^{}\w]*\{skip\})+/g, '{skip}')
    .replace(/\s+/g, ' ')
    .trim();
}
