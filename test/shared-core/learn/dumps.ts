import { hexBytes } from '../../../shared-core/src/base/hex.js';
import { dumpText } from '../../../shared-core/src/format/dumpText.js';
import { readRows } from '../../../shared-core/src/format/rows.js';
import { type ComparedDump, comparedDump } from '../../../shared-core/src/learn/findOption/comparedDump.js';
import { bind, type Dump } from '../../../shared-core/src/model/dump.js';
import { readProfile } from '../../../shared-core/src/profile/readProfile.js';

/** Pseudo-random whole numbers from 0 to before `below`, always the same for the same beginning (a 32-bit xorshift). */
export function numbers(beginning: number): (below: number) => number {
  let state = (beginning * 2654435761) >>> 0 || 1;
  return (below) => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    state >>>= 0;
    return state % below;
  };
}

/** A dump of `lines` (data bytes each), bound to a profile of these lines and nothing else. */
export function dumpOf(lines: readonly (readonly number[])[], more: object = {}): Dump {
  const text = lines.map((bytes, i) => `${i + 1}: ${hexBytes(bytes, ' ')}\n`).join('');
  const data = lines[0]?.length ?? 1;
  return dumpIn(text, { format: 1, lines: { from: 1, to: lines.length, data, sum: 0 }, ...more });
}

export function dumpIn(text: string, profile: object): Dump {
  return bind(readRows(text, dumpText), dumpText, readProfile(JSON.stringify(profile)).profile);
}

/** The same for a search for an option. */
export function comparedOf(lines: readonly (readonly number[])[]): ComparedDump {
  return comparedDump(dumpOf(lines));
}

export function comparedIn(text: string, profile: object): ComparedDump {
  return comparedDump(dumpIn(text, profile));
}
