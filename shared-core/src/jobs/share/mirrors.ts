import { byteOf } from '../../format/row.js';
import type { ByteWrite } from '../../model/byteWrite.js';
import { cellKey } from '../../model/cell.js';
import type { Dump } from '../../model/dump.js';

/** Characters of a row in which bytes are masked, as a comment may show them. */
export interface Mirror {
  readonly row: number;
  /** Finds them, with anything but letters and digits for what is none. */
  readonly was: RegExp;
  /** What the copy has; undefined where it has no character that can be shown, or the dump has none. */
  readonly now: readonly (string | undefined)[];
  /** Whether they are so many that they tell something in a comment on any row. */
  readonly isTelling: boolean;
}

/** In a comment on the row itself fewer are a part of it. */
const LEAST_SHOWN = 2;
const LEAST_ANYWHERE = 3;

/** What comments may show of bytes that are masked: the longest first. */
export function mirrorsOf(dump: Dump, writes: readonly ByteWrite[], masked: ReadonlySet<number>): readonly Mirror[] {
  const values = new Map(writes.map((write) => [cellKey(write), write.value]));
  const found = dump.rows.flatMap((record, row): readonly Mirror[] => {
    if (record.kind !== 'record') return [];
    const bytes = Array.from({ length: Math.min(dump.layout.dataCount[row] ?? 0, record.count) }, (_, byte) => {
      const key = cellKey({ row, byte });
      const was = byteOf(record, byte);
      return { was: shown(was), now: shown(values.get(key) ?? was), isMasked: masked.has(key) };
    });
    const whole = [0, bytes.length - 1] as const;
    const hidden = runsIn(bytes.map(({ was, isMasked }) => was !== undefined && isMasked));
    return [whole, whole, ...hidden].flatMap(([start, end], index) => {
      // All but the first are without what is no character at their ends.
      const isBlank = (at: number) => index > 0 && (bytes[at]?.was ?? ' ') === ' ';
      while (start < end && isBlank(start)) start++;
      while (start < end && isBlank(end)) end--;
      const part = bytes.slice(start, end + 1);
      const count = part.filter(({ was = '' }) => /[A-Z0-9]/i.test(was)).length;
      if (count < LEAST_SHOWN || !part.some(({ isMasked }) => isMasked)) return [];
      const pattern = part.map(({ was = ' ' }) => (was === ' ' ? '[^A-Z0-9]' : was.replace(/\W/, '\\$&')));
      return {
        row,
        was: new RegExp(`(?<![A-Z0-9])${pattern.join('')}(?![A-Z0-9])`, 'gi'),
        now: part.map(({ was = ' ', now = '.' }) => (was === ' ' ? undefined : now)),
        isTelling: index === 0 || count >= LEAST_ANYWHERE,
      };
    });
  });
  return found.sort((a, b) => b.now.length - a.now.length);
}

function shown(byte: number): string | undefined {
  return byte >= 0x20 && byte < 0x7f ? String.fromCharCode(byte) : undefined;
}

/** The first and the last place of each stretch. */
function runsIn(isThere: readonly boolean[]): readonly (readonly [number, number])[] {
  return isThere.flatMap((one, from) => {
    if (!one || isThere[from - 1] === true) return [];
    const end = isThere.indexOf(false, from);
    return [[from, (end < 0 ? isThere.length : end) - 1]];
  });
}

/** A comment of a row with what the copy has in place of characters of masked bytes. */
export function mirrored(dump: Dump, text: string, at: number, mirrors: readonly Mirror[]): string {
  return mirrors.reduce(
    (now, { row, was, now: put, isTelling }) =>
      isTelling || isBeside(dump, at, row)
        ? now.replace(was, (own) => Array.from(own, (character, i) => put[i] ?? character).join(''))
        : now,
    text,
  );
}

/** Whether a comment is in a row, or no other record is between. */
function isBeside({ rows }: Dump, at: number, row: number): boolean {
  const step = at < row ? 1 : -1;
  for (let between = at; between !== row; between += step) if (rows[between]?.kind === 'record') return false;
  return true;
}
