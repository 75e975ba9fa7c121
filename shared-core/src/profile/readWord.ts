import { phrase } from '../base/phrase.js';
import type { Notation } from '../format/notation.js';
import { type Word, wordOf } from '../format/word.js';
import { isObject, type JsonValue, knownKeys, member, missing, oneOf, wrong } from './json.js';
import type { Geometry } from './profile.js';

/** The words that a file shows or stores its bytes in: how many bytes each has, and in which order they are written. */
export function readWord(
  value: JsonValue | undefined,
  geometry: Geometry | undefined,
  notation: Notation | undefined,
): Word | undefined {
  if (value === undefined || !isObject(value)) return undefined;
  knownKeys(value, ['bytes', 'order']);
  const bytes = oneOf(member(value, 'bytes'), [2, 4] as const);
  const order = oneOf(member(value, 'order'), ['little', 'big'] as const);
  if (member(value, 'bytes') === undefined || member(value, 'order') === undefined)
    return missing(value, phrase('"word" needs "bytes" (2 or 4) and "order" ("little" or "big").'));
  if (geometry?.kind === 'lines')
    return wrong(value, phrase('Words are at addresses: describe the dump by "addresses" in place of "lines".'));
  if (notation !== undefined && notation.inWords === undefined)
    return wrong(value, phrase('A dump in this "notation" has no words. Leave "word" out.'));
  return bytes && order && wordOf(`${bytes}${order.charAt(0)}e`);
}
