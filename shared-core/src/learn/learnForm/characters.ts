import { characterColumn, cutAtCharacters } from '../../format/patternCharacters.js';

/** What encloses the characters at the end of lines; nothing where only blanks part them from the bytes. */
export interface Enclosed {
  readonly open: string;
  readonly close: string;
}

/** Lines with the characters at their ends cut off. */
export interface WithoutCharacters {
  readonly enclosed: Enclosed;
  readonly lines: readonly string[];
}

const CLOSING: Readonly<Record<string, string>> = { '[': ']', '(': ')', '<': '>', '>': '<', '{': '}' };

/** Groups of bytes at the end of a text, whatever parts them. */
const LAST_BYTES = /(?<![0-9A-Za-z])(?:0x)?(?:[0-9a-f]{2})+(?:[ \t]*[ \t,;|][ \t]*(?:0x)?(?:[0-9a-f]{2})+)*[ \t,;]*$/i;
const BYTES = /(?<![0-9A-Za-z])(?:[0-9a-f]{2})+(?:[ \t]+(?:[0-9a-f]{2})+)*/gi;

/** So many lines are looked at first. */
const SAMPLE = 48;
/** Places of a line at which characters are looked for. */
const MOST_PLACES = 12;

/** Finds a column of characters at the ends of lines, each the character of a byte of its line; undefined where there is none. */
export function charactersIn(lines: readonly string[]): WithoutCharacters | undefined {
  const sample = lines.filter((line) => longestRun(line).length >= 8).slice(0, SAMPLE);
  const votes = new Map<string, { readonly enclosed: Enclosed; count: number }>();
  for (const line of sample) {
    for (const enclosed of enclosuresIn(line)) {
      const key = `${enclosed.open} ${enclosed.close}`;
      const vote = votes.get(key) ?? { enclosed, count: 0 };
      vote.count++;
      votes.set(key, vote);
    }
  }
  const [best] = [...votes.values()].sort(
    (a, b) => b.count - a.count || b.enclosed.open.length - a.enclosed.open.length,
  );
  if (best === undefined || best.count < 2 || best.count * 10 < sample.length * 6) return undefined;
  const { enclosed } = best;
  return { enclosed, lines: lines.map((line) => withoutCharacters(line, enclosed)) };
}

/** Each way in which a line ends in the characters of its bytes. */
function enclosuresIn(line: string): readonly Enclosed[] {
  const found: Enclosed[] = [];
  const text = line.trimEnd();
  let places = 0;
  for (let at = 4; at < text.length && places < MOST_PLACES; at++) {
    const open = text.charAt(at);
    if (/[\s0-9A-Za-z]/.test(open) || !/[0-9a-f][ \t,;]*$/i.test(text.slice(Math.max(0, at - 4), at))) continue;
    places++;
    const mirrored = CLOSING[open] ?? open;
    for (const close of text.endsWith(mirrored) && text.length > at + 1 ? [mirrored, ''] : [''])
      if (isColumn(text, at, { open, close })) found.push({ open, close });
  }
  const run = longestRun(text);
  if (run.length > 0 && cutAtCharacters(text, run.start, text.length) !== undefined)
    found.push({ open: '', close: '' });
  return found;
}

function isColumn(text: string, at: number, { open, close }: Enclosed): boolean {
  const bytes = bytesBefore(text.slice(0, at));
  const span = { start: at + open.length, end: text.length - close.length };
  return bytes.length >= 2 && span.end > span.start && characterColumn(text, span, bytes) !== undefined;
}

function bytesBefore(text: string): Uint8Array {
  const digits = (LAST_BYTES.exec(text)?.[0] ?? '').replace(/0x|[^0-9a-f]/gi, '');
  return Uint8Array.from(digits.match(/../g) ?? [], (pair) => Number.parseInt(pair, 16));
}

function withoutCharacters(line: string, enclosed: Enclosed): string {
  const text = line.trimEnd();
  if (enclosed.open === '') {
    const { start, length } = longestRun(text);
    const cut = length > 0 ? cutAtCharacters(text, start, text.length) : undefined;
    return cut === undefined ? line : text.slice(0, cut.data.end);
  }
  for (let at = text.indexOf(enclosed.open); at >= 0; at = text.indexOf(enclosed.open, at + 1))
    if (text.endsWith(enclosed.close) && isColumn(text, at, enclosed)) return text.slice(0, at).trimEnd();
  return line;
}

function longestRun(text: string): { readonly start: number; readonly length: number } {
  let best = { start: 0, length: 0 };
  for (const match of text.matchAll(BYTES))
    if (match[0].length > best.length) best = { start: match.index, length: match[0].length };
  return best;
}
