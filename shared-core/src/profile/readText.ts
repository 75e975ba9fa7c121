import { phrase } from '../base/phrase.js';
import { type JsonValue, member, oneOf, whole, wrong } from './json.js';
import type { TextMeaning } from './profile.js';
import { canFill, isLengthOf, TEXT_CODINGS } from './textCodings.js';

/** Keys of an option that say more of a text. */
export const TEXT_KEYS = ['pad'];

/** A text, and the byte that fills the rest of its place. */
export function readText(option: JsonValue, value: JsonValue, width: number): TextMeaning | undefined {
  const coding = oneOf(value, TEXT_CODINGS);
  const given = member(option, 'pad');
  const pad = whole(given, 0, 0xff);
  if (coding === undefined || (given !== undefined && pad === undefined)) return undefined;
  if (!isLengthOf(coding, width / 8))
    return wrong(value, phrase('A text in "{0}" takes two bytes for each character: name an even number.', coding));
  if (given !== undefined && pad !== undefined && !canFill(coding, pad))
    return wrong(given, phrase('What fills decimal digits is no digit, and the same in both halves, such as "0xFF".'));
  return { kind: 'text', coding, pad };
}
