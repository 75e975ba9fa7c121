import { hexBytes } from '../../base/hex.js';
import type { Label } from '../../format/row.js';
import type { LineToLearn } from './line.js';
import { type LineRule, storedBy } from './lineRule.js';

/** A line that two rules, which all given lines meet, would sum differently. */
export interface TellingLine {
  readonly label: Label;
  readonly data: Uint8Array;
  readonly first: Uint8Array;
  readonly second: Uint8Array;
}

/** More than these rules beside the best one are of no use to anybody. */
const MOST_RULES = 12;

/** Rules best first; of those that give the same for every line of this shape, the plainest alone. */
export function merged(rules: readonly LineRule[], lines: readonly LineToLearn[]): LineRule[] {
  const best = [...rules].sort((a, b) => a.wrong.length - b.wrong.length || a.chance - b.chance || a.cost - b.cost);
  const byMeaning = new Map<string, LineRule>();
  for (const rule of best.slice(0, MOST_RULES * 8)) {
    const meaning = `${rule.width} ${rule.front} ${probesOf(lines, rule.width).map(({ label, data }) => hexBytes(storedBy(rule, label, data)))}`;
    const known = byMeaning.get(meaning);
    if (known === undefined || rule.cost < known.cost) byMeaning.set(meaning, rule);
  }
  return [...byMeaning.values()]
    .sort((a, b) => a.wrong.length - b.wrong.length || a.chance - b.chance || a.cost - b.cost)
    .slice(0, MOST_RULES);
}

interface Probe {
  readonly label: Label;
  readonly data: Uint8Array;
}

/**
 * Lines as the dump could have them: its labels and lengths, with bytes that follow no pattern, or are mostly FF and 00.
 * Only the latter make the carries by which some sums differ.
 */
function probesOf(lines: readonly LineToLearn[], width: number): readonly Probe[] {
  let state = 1;
  // Marsaglia's 32-bit xorshift: any bytes will do, as long as they are the same each time.
  const next = () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return state >>> 24;
  };
  const extreme = () => (next() < 200 ? 0xff : next() & 1);
  return Array.from({ length: 32 }, (_, i) => {
    const { label, bytes } = lines[(i * 7) % lines.length] as LineToLearn;
    return { label, data: Uint8Array.from({ length: bytes.length - width }, i % 2 === 0 ? next : extreme) };
  });
}

/** A line that the two rules sum differently, as close as possible to a line that is there. */
export function tellingLine(first: LineRule, second: LineRule, lines: readonly LineToLearn[]): TellingLine | undefined {
  // With the sum at different ends the same bytes are other data.
  if (first.front !== second.front || (first.front && first.width !== second.width)) return undefined;
  const width = Math.max(first.width, second.width);
  const tell = ({ label, data }: Probe): TellingLine | undefined => {
    // Of the bytes behind the data a narrow rule foretells the last alone: those before it are as the wide one has them.
    const wide = storedBy(first.width === width ? first : second, label, data);
    const endBy = (rule: LineRule) => {
      const before = wide.subarray(0, width - rule.width);
      return Uint8Array.of(...before, ...storedBy(rule, label, Uint8Array.of(...data, ...before)));
    };
    const [one, other] = [endBy(first), endBy(second)];
    return one.every((byte, i) => byte === other[i]) ? undefined : { label, data, first: one, second: other };
  };
  for (const { label, bytes } of lines.slice(0, 16)) {
    for (let at = 0; at < bytes.length - width; at++) {
      const data = first.front ? bytes.slice(width) : bytes.slice(0, bytes.length - width);
      data[at] = ~(data[at] as number);
      const telling = tell({ label, data });
      if (telling !== undefined) return telling;
    }
  }
  return probesOf(lines, width)
    .map(tell)
    .find((telling) => telling !== undefined);
}
