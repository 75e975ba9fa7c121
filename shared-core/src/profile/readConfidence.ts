import { type JsonValue, member, oneOf } from './json.js';
import type { Confidence } from './profile.js';

/** How sure the writer of a profile is of a part of it; undefined where that is not said. */
export function readConfidence(value: JsonValue): Confidence | undefined {
  return oneOf(member(value, 'confidence'), ['confirmed', 'likely', 'guess'] as const);
}
