import type { Dump } from '../../model/dump.js';
import { headersOf, headerValues } from '../../model/headers.js';
import { isInPairs, isTooShort, isVin, joined, type Secret } from './masks.js';
import { isTelling, secretsIn } from './personalPlaces.js';

/** Headers whose values say nothing of a person, but for values that are masked everywhere. */
export const KEPT_HEADERS: readonly string[] = [
  'vin',
  'vehicle',
  'part',
  'software',
  'module',
  'fitted',
  'absent',
  'seal',
  'start',
  'word',
  'use',
  'note',
];

function everywhere(text: string): Secret {
  return { text, inParts: true, inBytes: true };
}

/** A value as it is looked for: a VIN without what is between its characters, whole or in parts; others as a person wrote them. */
function told(text: string, inParts: boolean): Secret {
  return isVin(joined(text)) ? everywhere(joined(text)) : { text, inParts, inBytes: true };
}

/** What the dumps themselves say that is personal. */
export function ownSecrets(dumps: readonly Dump[]): readonly Secret[] {
  const all = dumps.flatMap((dump) => [
    ...headerValues(dump, 'vin').map((text) => told(text, true)),
    // What a person calls a vehicle may be a few words, of which only all together tell something.
    ...headerValues(dump, 'vehicle').map((text) => told(text, false)),
    ...headersOf(dump).flatMap(({ header: { name, value } }) =>
      KEPT_HEADERS.includes(name) ? [] : ofLeftOut(name, value),
    ),
    ...secretsIn(dump),
  ]);
  // Signs alone, such as a dash, tell nothing.
  return all.filter(({ text }) => /[\p{L}\p{Nd}]/u.test(text));
}

/** Names of headers that tell who, and of those that tell of the module or of files. */
const OF_A_PERSON = /owner|customer|client|driver|keeper|holder|contact|name|^by|by$|halter|kunde|fahrer|besitzer/i;
const OF_THE_MODULE = /^(?:profile|backup|taken)$|hard|soft|version|part|supplier|tool/i;

/** What is looked for of a header that is left out: a name, or a value with a number in it. */
function ofLeftOut(header: string, value: string): readonly Secret[] {
  if (OF_A_PERSON.test(header)) {
    const words = wordsOf(value);
    return words.length > 0 ? [{ text: value, inParts: false, inBytes: true }, ...words] : [asWord(value, value)];
  }
  const isNumber = isTelling(value) && !value.startsWith('0x') && value.replace(/\D/g, '').length >= LEAST_OF_NUMBER;
  return isNumber && !OF_THE_MODULE.test(header) ? [told(value, value.length > SHORT)] : [];
}

const LEAST_OF_NUMBER = 4;

/** The words of a text of several: each tells something in a comment, in whatever order they are there. */
function wordsOf(text: string): readonly Secret[] {
  if (isVin(joined(text)) || isInPairs(text)) return [];
  const words = text.split(/[^\p{L}\p{M}\p{N}]+/u).filter((word) => word !== '');
  const names = words.filter((word) => word.length >= LEAST_OF_WORD && /\p{L}/u.test(word));
  return words.length > 1 ? names.map((word) => ({ ...asWord(word, text), inBytes: false })) : [];
}

const LEAST_OF_WORD = 3;

function asWord(text: string, of: string): Secret {
  return { text, inParts: false, inBytes: !isTooShort(text), asWord: true, of };
}

/** The same with what a person asked to hide. */
export function allSecrets(own: readonly Secret[], hidden: readonly string[]): readonly Secret[] {
  const all = [
    ...hidden.flatMap((text) => [{ ...told(text, text.length > SHORT), of: text }, ...wordsOf(text)]),
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
export function isAmong(text: string, secrets: readonly Secret[]): boolean {
  const plainly = (one: string) => one.normalize('NFC').toUpperCase();
  return secrets.some((secret) => [secret.text, secret.of ?? ''].some((one) => plainly(one) === plainly(text)));
}
