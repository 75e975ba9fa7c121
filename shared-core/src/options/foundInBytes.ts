import type { Option } from '../profile/profile.js';

/** Whether an option is only a text or a date that learning found, such as a serial number: shown, and never offered to be set. */
export function isFoundInBytes({ confidence, meaning }: Pick<Option, 'confidence' | 'meaning'>): boolean {
  const { kind } = meaning;
  return confidence === 'guess' && (kind === 'text' || kind === 'date' || kind === 'counted-date');
}
