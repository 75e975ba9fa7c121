import type { Dump } from '../../model/dump.js';
import { headerValues } from '../../model/headers.js';
import { isVin, type Secret } from './masks.js';
import { secretsIn } from './personalPlaces.js';

function everywhere(text: string): Secret {
  return { text, inParts: true, inBytes: true };
}

/** What the dumps themselves say that is personal. */
export function ownSecrets(dumps: readonly Dump[]): readonly Secret[] {
  return dumps.flatMap((dump) => [
    ...headerValues(dump, 'vin').map(everywhere),
    // What a person calls a vehicle may be a few words, of which only all together tell something.
    ...headerValues(dump, 'vehicle').map((text) =>
      isVin(text) ? everywhere(text) : { text, inParts: false, inBytes: true },
    ),
    ...secretsIn(dump),
  ]);
}

/** The same with what a person asked to hide. */
export function allSecrets(own: readonly Secret[], hidden: readonly string[]): readonly Secret[] {
  const all = [
    ...hidden.map((text) => (isVin(text) ? everywhere(text) : { text, inParts: text.length > SHORT, inBytes: true })),
    ...own,
  ];
  // A letter with an accent may be written as one character, or as two.
  return all.flatMap((secret) =>
    [...new Set([secret.text, secret.text.normalize('NFC'), secret.text.normalize('NFD')])].map((text) => ({
      ...secret,
      text,
    })),
  );
}

const SHORT = 6;

export function knowsVin(secrets: readonly Secret[]): boolean {
  return secrets.some(({ text }) => isVin(text));
}

/** Whether a text is one of these, but for capitals and for how letters with accents are written. */
export function isAmong(text: string, secrets: readonly Pick<Secret, 'text'>[]): boolean {
  const plainly = (one: string) => one.normalize('NFC').toUpperCase();
  return secrets.some((secret) => plainly(secret.text) === plainly(text));
}
