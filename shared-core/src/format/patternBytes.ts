import type { Span } from '../base/span.js';

/**
 * What is between the bytes of a pattern's field besides blanks, and before each of them: `{data:,}` or `{data:0x;}`; with
 * a quote each stands between two: `{data:",}`.
 */
export interface Between {
  readonly prefix: string;
  readonly mark: string;
}

/** Reads what a field of bytes says of its separators; undefined where that is nothing that is known. */
export function readBetween(written: string): Between | undefined {
  const match = /^(0x|\$|")?([,;]| |tab)? ?$/i.exec(written);
  if (match === null || (match[1] === undefined && match[2] === undefined)) return undefined;
  return { prefix: match[1] ?? '', mark: match[2]?.toLowerCase() === 'tab' ? '\t' : (match[2] ?? ' ') };
}

/** The text with blanks in place of separators and prefixes, so that groups of digits are left; a separator beside which a byte is missing stays. */
export function withoutMarks(text: string, { start, end }: Span, between: Between | undefined): string {
  if (between === undefined) return text;
  const { prefix, mark } = between;
  const parts = mark === ',' || mark === ';' ? text.slice(start, end).split(mark) : [text.slice(start, end)];
  let plain = '';
  for (const [i, part] of parts.entries()) {
    const isLast = i === parts.length - 1;
    // Behind the last byte there may be one more separator.
    const isMissing = part.trim() === '' || (parts[i + 1]?.trim() === '' && i + 1 < parts.length - 1);
    plain += withoutPrefix(part, prefix) + (isLast ? '' : isMissing ? mark : ' ');
  }
  return text.slice(0, start) + plain + text.slice(end);
}

const QUOTE = '"';

function withoutPrefix(text: string, prefix: string): string {
  if (prefix === '') return text;
  if (prefix === QUOTE) return text.replace(/"([0-9a-f]+)"/gi, ' $1 ');
  const pattern = prefix === '$' ? /(^|\s)\$(?=[0-9a-f])/gi : /(^|\s)0x(?=[0-9a-f])/gi;
  return text.replace(pattern, (found) => found.slice(0, -prefix.length) + ' '.repeat(prefix.length));
}

/** Bytes as digits with what stands between them. */
export function printedBytes(pairs: readonly string[], between: Between | undefined, written: string): string {
  if (between === undefined) return pairs.join(' ');
  const blank = between.mark !== '\t' && between.mark !== ' ' && written.endsWith(' ') ? ' ' : '';
  const end = between.prefix === QUOTE ? QUOTE : '';
  return pairs.map((pair) => between.prefix + pair + end).join(between.mark + blank);
}
