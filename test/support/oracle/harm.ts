import { bytesByKey, sumsOf, UNREADABLE } from './contents.js';
import { type ByteKey, bytesOfPlace, isSecurity, maskOfOption, type ProfileJson } from './profileJson.js';
import { type FormId, formOf, type OracleDump, readText, recordSumIsRight, sealOfText } from './texts.js';

/** A text that something changed: what it was and what it is now. `backup` is the text that its header `@backup` names. */
export interface Change {
  readonly profile: ProfileJson;
  readonly before: string;
  readonly after: string;
  readonly backup?: string | undefined;
}

/** Bits that no command may change. */
interface Guarded {
  readonly key: ByteKey;
  readonly mask: number;
  readonly kind: 'locked' | 'security' | 'volatile';
}

/** What a change did that trust.md forbids: one line for each, none where it did nothing of the kind. */
export function harmIn({ profile, before, after, backup }: Change): readonly string[] {
  if (before === after) return [];
  const form = formOf(profile);
  const [was, now] = [readText(before, form), readText(after, form)];
  return [
    ...(was.headers.has('seal') ? ['a sealed file was changed'] : []),
    ...protectedHarm(profile, was, now, backup),
    ...brokenSums(profile, was, now),
  ];
}

export function guardedBits(profile: ProfileJson): readonly Guarded[] {
  const { locked = [], volatile = [], options = [] } = profile;
  const each = (place: Parameters<typeof bytesOfPlace>[1], kind: Guarded['kind'], mask = 0xff) =>
    bytesOfPlace(profile, place).map((key) => ({ key, mask, kind }));
  return [
    ...locked.flatMap((place) => each(place, 'locked')),
    ...volatile.flatMap((place) => each(place, 'volatile')),
    ...options.filter(isSecurity).flatMap((option) => each(option, 'security', maskOfOption(option))),
  ];
}

function protectedHarm(
  profile: ProfileJson,
  was: OracleDump,
  now: OracleDump,
  backup: string | undefined,
): readonly string[] {
  const own = backup === undefined ? undefined : ownBackup(was, backup);
  const [before, after] = [bytesByKey(was, profile), bytesByKey(now, profile)];
  const kept = own && bytesByKey(own.dump, profile);
  return guardedBits(profile).flatMap(({ key, mask, kind }) => {
    const held = (bytes: ReadonlyMap<ByteKey, readonly number[]> | undefined) =>
      (bytes?.get(key) ?? []).map((byte) => (byte === UNREADABLE ? '?' : String(byte & mask)));
    const [old, now, there] = [held(before), held(after), held(kept)];
    if (old.join() === now.join()) return [];
    // Of a line that is there twice one may go, and a line may be there twice where each holds what it may; and where
    // nothing was, no volatile byte is overwritten.
    const allowed = own !== undefined && (own.isSealed || kind === 'volatile') ? [...old, ...there] : old;
    const isAllowed = now.length > 0 && now.every((value) => allowed.includes(value));
    const isNew = kind === 'volatile' && old.length === 0;
    const isBack = own !== undefined && now.length === 0 && there.length === 0 && (own.isSealed || kind === 'volatile');
    return isAllowed || isNew || isBack
      ? []
      : [`${kind} ${key}: ${old.join() || 'none'} became ${now.join() || 'none'}`];
  });
}

/** A backup of the same module, and whether its seal is whole. */
export function ownBackup(
  dump: OracleDump,
  text: string,
): { readonly dump: OracleDump; readonly isSealed: boolean } | undefined {
  const backup = readText(text, dump.form);
  const differs = ['vin', 'vehicle', 'part', 'software', 'module'].some((name) => {
    const [here, there] = [dump.headers.get(name), backup.headers.get(name)];
    return here !== undefined && there !== undefined && here.toUpperCase() !== there.toUpperCase();
  });
  if (differs) return undefined;
  return { dump: backup, isSealed: isSealed(text, dump.form, backup) };
}

function isSealed(text: string, form: FormId, { headers }: OracleDump): boolean {
  return headers.get('seal')?.toLowerCase() === sealOfText(text, form);
}

/** Sums that were right and are not any more. */
function brokenSums(profile: ProfileJson, was: OracleDump, now: OracleDump): readonly string[] {
  const after = new Map(sumsOf(now, profile, 'readable').map(({ name, state }) => [name, state]));
  // A line that is not there any more, or there twice, is another problem than a wrong sum.
  const count = (name: string) => now.records.filter(({ label }) => `line ${label}` === name).length;
  const isGone = (name: string) => name.startsWith('line ') && count(name) !== 1;
  const broken = sumsOf(was, profile).filter(
    ({ name, state }) =>
      state === 'right' && !name.startsWith('record ') && after.get(name) !== 'right' && !isGone(name),
  );
  return [
    ...broken.map(({ name }) => `${name} was right and is ${after.get(name) ?? 'gone'}`),
    ...brokenRecords(was, now),
  ];
}

/** Records of an image: those that are wrong where none of their address was. */
function brokenRecords(was: OracleDump, now: OracleDump): readonly string[] {
  if (was.form !== 'intel-hex' && was.form !== 's-record') return [];
  const wrongIn = (dump: OracleDump) => dump.records.filter((record) => !recordSumIsRight(dump, record));
  const known = new Set(wrongIn(was).map(({ label }) => label));
  const rows = new Set(was.records.length === now.records.length ? wrongIn(was).map(({ row }) => row) : []);
  return wrongIn(now)
    .filter(({ label, row }) => !known.has(label) && !rows.has(row))
    .map(({ row }) => `the record at row ${row + 1} is wrong, and none was there`);
}
