import type { Dump } from '../../model/dump.js';
import { headerValues } from '../../model/headers.js';
import { isVin, joined, type Secret } from './masks.js';
import { secretsIn } from './personalPlaces.js';

function everywhere(text: string): Secret {
  return { text, inParts: true, inBytes: true };
}

/** A value as it is looked for: a VIN without what is between its characters, whole or in parts; others as a person wrote them. */
function told(text: string, inParts: boolean): Secret {
  return isVin(joined(text)) ? everywhere(joined(text)) : { text, inParts, inBytes: true };
}

/** What the dumps themselves say that is personal. */
export function ownSecrets(dumps: readonly Dump[]): readonly Secret[] {
  return dumps.flatMap((dump) => [
    ...headerValues(dump, 'vin').map((text) => told(text, true)),
    // What a person calls a vehicle may be a few words, of which only all together tell something.
    ...headerValues(dump, 'vehicle').map((text) => told(text, false)),
    ...secretsIn(dump),
  ]);
}

/** The same with what a person asked to hide. */
export function allSecrets(own: readonly Secret[], hidden: readonly string[]): readonly Secret[] {
  const all = [...hidden.map((text) => ({ ...told(text, text.length > SHORT), of: text })), ...own];
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
export function isAmong(text: string, secrets: readonly Secret[]): boolean {
  const plainly = (one: string) => one.normalize('NFC').toUpperCase();
  return secrets.some((secret) => [secret.text, secret.of ?? ''].some((one) => plainly(one) === plainly(text)));
}
