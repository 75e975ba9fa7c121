/** How bytes are parted in a text. */
export interface ByteStyle {
  /** What the option of the field `{data}` is; nothing where blanks are all there is. */
  readonly option: string;
  readonly bytes: RegExp;
  /** A group and what parts it from the next, at the beginning of some bytes. */
  readonly firstGroup: RegExp;
}

/** A line taken apart around its bytes: words before and behind with what is between them, the words at odd places. */
export interface CutLine {
  readonly before: readonly string[];
  readonly behind: readonly string[];
}

/** A line of more characters is none that people number. */
const LONGEST = 4096;

const PAIRS = '(?:[0-9A-Fa-f]{2})+';
const GAPS: readonly (readonly [mark: string, gap: string])[] = [
  ['', '[ \\t]+(?:\\|[ \\t]*)?'],
  [',', '[ \\t]*,[ \\t]*'],
  [';', '[ \\t]*;[ \\t]*'],
];

/** The styles that a text may be in, those first of which it has most signs. */
export function stylesOf(lines: readonly string[]): readonly ByteStyle[] {
  const text = lines.slice(0, 200).join('\n').slice(0, 40_000);
  const often = (sign: RegExp) => text.match(sign)?.length ?? 0;
  const prefixes =
    often(/(?<![0-9A-Za-z])0x[0-9a-f]{2}(?![0-9a-f])/gi) > lines.length
      ? ['0x']
      : often(/\$[0-9a-f]{2}/gi) > lines.length
        ? ['$']
        : often(/"[0-9a-f]{2}"/gi) > lines.length
          ? ['"']
          : [''];
  const styles = prefixes.flatMap((prefix) =>
    GAPS.map(([mark, gap]) => {
      const quote = prefix === '"' ? '"?' : '';
      const group = prefix === '' ? PAIRS : `${prefix === '$' ? '\\$' : prefix}${PAIRS}${prefix === '"' ? '"' : ''}`;
      const count =
        mark === ''
          ? often(/[0-9A-Fa-f]{2}"?[ \t]+(?:0x|\$|")?[0-9A-Fa-f]{2}/g)
          : often(new RegExp(`[0-9A-Fa-f]{2}"? *${mark}`, 'g'));
      const blank = often(/[0-9A-Fa-f]{2}"?[,;] +(?:0x|\$|")?[0-9A-Fa-f]{2}/g) > 0 && mark !== '' ? ' ' : '';
      const tabs =
        mark === '' &&
        often(/[0-9A-Fa-f]{2}"?\t(?:0x|\$|")?[0-9A-Fa-f]{2}/g) > often(/[0-9A-Fa-f]{2}"? +(?:0x|\$|")?[0-9A-Fa-f]{2}/g);
      const style: ByteStyle = {
        option: prefix + (tabs ? 'tab' : mark + blank),
        bytes: new RegExp(`${group}(?:${gap}${group})*`, 'g'),
        firstGroup: new RegExp(`^${quote}\\w+${quote}(?:${gap})(?=[\\w$"])`),
      };
      return { style, count };
    }),
  );
  return styles
    .filter(({ count }, i) => i === 0 || count > 0)
    .sort((a, b) => b.count - a.count)
    .map(({ style }) => style);
}

/** Words, and what is between them: at odd places of the list is a word. */
const WORD = /([0-9A-Za-z_]+)/;

/** Takes a line apart; the longest stretch of bytes is its data, but for some first groups. Undefined where it has none. */
export function cutLine(text: string, { bytes, firstGroup }: ByteStyle, first: number): CutLine | undefined {
  const line = text.trim();
  if (line.length > LONGEST) return undefined;
  let best: { start: number; end: number } | undefined;
  for (const match of line.matchAll(bytes)) {
    let start = match.index;
    let end = start + match[0].length;
    // A word that goes on with other letters is no hex; a stretch of bytes begins and ends with a whole word.
    if (/\w/.test(line[start - 1] ?? '')) start += /^\w+[\s,;|]*/.exec(match[0])?.[0].length ?? 0;
    if (/\w/.test(line[end] ?? '')) end -= /[\s,;|]*\w+$/.exec(line.slice(start, end))?.[0].length ?? 0;
    if (end > start && (best === undefined || end - start > best.end - best.start)) best = { start, end };
  }
  if (best === undefined) return undefined;
  let start = best.start;
  for (let i = 0; i < first; i++) {
    const lead = firstGroup.exec(line.slice(start, best.end))?.[0];
    if (lead === undefined) return undefined;
    start += lead.length;
  }
  return { before: line.slice(0, start).split(WORD), behind: line.slice(best.end).split(WORD) };
}
