import { hex } from '../base/hex.js';
import { listed, type Phrase, phrase } from '../base/phrase.js';
import { matches } from '../base/wildcards.js';
import type { Dump } from './dump.js';
import {
  type HeaderName,
  headersOf,
  headerValue,
  headerValues,
  type PlacedHeader,
  repeatedHeaders,
  spelledAlike,
} from './headers.js';
import { isSetAside, unclearUse } from './useHeader.js';

type Headed = Pick<Dump, 'rows' | 'headers'>;
type Identified = Pick<Dump, 'rows' | 'headers' | 'profile'>;

/** Headers that must agree between two dumps of one module, where both have them. */
const IDENTITY: readonly HeaderName[] = ['vin', 'vehicle', 'part', 'software', 'module'];

/** Those that must agree between dumps of one kind of module, of whatever vehicles. */
export const KIND: readonly HeaderName[] = ['part', 'software', 'module'];

/**
 * The first identity header in which two dumps differ, with the value of each; of one that is given twice, each value must
 * agree. A dump that does not say its module is of that of its profile.
 */
export function otherIdentity(
  one: Identified,
  other: Identified,
  headers = IDENTITY,
): readonly [HeaderName, string, string] | undefined {
  for (const name of headers) {
    const [own, others] = [headerValues(one, name), headerValues(other, name)];
    const [wanted, given] = name === 'module' ? [orOfProfile(own, one), orOfProfile(others, other)] : [own, others];
    // Two dumps that both say nothing are told apart by their profiles.
    if (own.length + others.length === 0) continue;
    for (const here of wanted) for (const there of given) if (!agree(name, here, there)) return [name, here, there];
  }
  return undefined;
}

function orOfProfile(values: readonly string[], { profile: { module } }: Identified): readonly string[] {
  return values.length > 0 || module === undefined ? values : [moduleText(module)];
}

function agree(name: HeaderName, here: string, there: string): boolean {
  if (spelledAlike(name, here) === spelledAlike(name, there)) return true;
  if (name !== 'module') return false;
  const [one, other] = [moduleNumbers(here), moduleNumbers(there)];
  return one.some((number) => other.includes(number));
}

/** The number of a module as a profile gives it. */
function moduleText(module: number): string {
  return `0x${hex(module, 4)}`;
}

/** The numbers that the name of a module may be: hex digits without "0x" may be a number of both kinds; a word is none. */
function moduleNumbers(text: string): readonly number[] {
  if (/^0x[0-9A-F]+$/i.test(text)) return [Number.parseInt(text.slice(2), 16)];
  if (!/^(?=.*\d)[0-9A-F]+$/i.test(text)) return [];
  return [Number.parseInt(text, 16), ...(/^\d+$/.test(text) ? [Number(text)] : [])];
}

/** What a dump is of whose header differs from that of another one. */
export function anotherInWords(header: HeaderName): Phrase {
  if (header === 'vin' || header === 'vehicle') return phrase('another car');
  return header === 'software' ? phrase('another software level') : phrase('another module');
}

/** What two dumps are of whose headers differ. */
export function twoInWords(header: HeaderName): Phrase {
  if (header === 'vin' || header === 'vehicle') return phrase('two cars');
  return header === 'software' ? phrase('two software levels') : phrase('two modules');
}

/** Identity headers that a dump has and its backup does not. */
function unconfirmedBy(dump: Headed, backup: Headed): readonly HeaderName[] {
  return IDENTITY.filter((name) => headerValue(dump, name) !== undefined && headerValue(backup, name) === undefined);
}

/**
 * Whether a dump's backup is of the same module: it has each identity header that the dump has, and none that differs or
 * is given twice; and it is not set aside from the work.
 */
export function isOwnBackup(dump: Identified, backup: Identified): boolean {
  return (
    !isSetAside(backup) &&
    unclearUse(backup) === undefined &&
    otherIdentity(backup, dump) === undefined &&
    unconfirmedBy(dump, backup).length === 0 &&
    [dump, backup].every((one) => repeatedHeaders(one).length === 0)
  );
}

/** Why nobody can tell whether a backup is of the module of a dump, though nothing in it says otherwise. */
export function whyBackupUnconfirmed(dump: Headed, backup: Headed): Phrase | undefined {
  const missing = unconfirmedBy(dump, backup);
  if (missing.length === 0) return undefined;
  return phrase(
    'The backup has no {0}, and this dump has: nobody can tell that both are of one module, so no locked or security byte is taken from the backup. If they are, add the missing header to the backup; its seal stays whole.',
    listed(missing.map((name) => `"@${name}"`)),
  );
}

/** Why two dumps say nothing of each other: their headers are of two modules, or two vehicles. */
export function whyNotComparable(before: Identified, now: Identified): Phrase | undefined {
  const other = otherIdentity(before, now);
  return (
    other &&
    phrase(
      'These dumps are of {0}: "@{1}" is "{2}" before and "{3}" now. Comparing them says nothing.',
      twoInWords(other[0]),
      ...other,
    )
  );
}

/** Why two dumps say nothing of each other in a table of many cars: their headers are of two modules. */
export function whyNotOneKind(one: Identified, other: Identified): Phrase | undefined {
  const differs = otherIdentity(one, other, KIND);
  return (
    differs &&
    phrase(
      'These dumps are of {0}: "@{1}" is "{2}" in one and "{3}" in the other. Comparing them says nothing.',
      twoInWords(differs[0]),
      ...differs,
    )
  );
}

/** A dump that its profile is not for, or that does not say enough to tell. */
export interface Misfit {
  readonly kind: 'other' | 'unconfirmed';
  /** The header that says otherwise. */
  readonly at: PlacedHeader | undefined;
  readonly why: Phrase;
}

/** Compares the headers of a dump with what its profile is for: what contradicts goes before what is missing. */
export function whyNotThisModule(dump: Identified): Misfit | undefined {
  const { appliesTo } = dump.profile;
  const number = otherNumber(dump);
  if (number !== undefined || appliesTo === undefined) return number;
  const misfits = (['part', 'software'] as const).flatMap((header): Misfit | readonly [] => {
    const patterns = appliesTo[header];
    if (patterns.length === 0) return [];
    const given = headersOf(dump).filter(({ header: { name, value } }) => name === header && value !== '');
    const wanted = patterns.join(', ');
    if (given.length === 0) {
      const why = phrase(
        'The profile is for "@{0}" {1}, and this dump has no "@{0}". Add the line "@{0} …" with what is on the module. Until then, each change has to be confirmed, and an editor that cannot ask refuses it.',
        header,
        wanted,
      );
      return { kind: 'unconfirmed', at: undefined, why };
    }
    const at = given.find((one) => !patterns.some((pattern) => matches(one.header.value, pattern)));
    if (at === undefined) return [];
    return isOther(at, wanted);
  });
  return misfits.find(({ kind }) => kind === 'other') ?? misfits[0];
}

/** A number of the module in the dump that is not the one in the profile; a word contradicts no number. */
function otherNumber(dump: Identified): Misfit | undefined {
  const { module } = dump.profile;
  if (module === undefined) return undefined;
  const at = headersOf(dump).find(({ header: { name, value } }) => {
    const numbers = name === 'module' ? moduleNumbers(value) : [];
    return numbers.length > 0 && !numbers.includes(module);
  });
  return at && isOther(at, moduleText(module));
}

function isOther(at: PlacedHeader, wanted: string): Misfit {
  const { name, value } = at.header;
  const why = phrase(
    'The profile is for another module: "@{0}" is "{1}" here, and the profile is for {2}.',
    name,
    value,
    wanted,
  );
  return { kind: 'other', at, why };
}
