import { bytesByKey, sumsOf, UNREADABLE } from './contents.js';
import { type ByteKey, bytesOfPlace, isSecurity, maskOfOption, type ProfileJson } from './profileJson.js';
import { type FormId, formOf, type OracleDump, readText, sealOfText } from './texts.js';

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
    const goesBack = own !== undefined && (own.isSealed || kind === 'volatile') && there.join() === now.join();
    // Of a line that is there twice one may go, and a line may be there twice that says the same; and where nothing was,
    // no volatile byte is overwritten.
    const isFewer = now.length > 0 && old.length > 0 && now.every((value) => old.includes(value));
    const isNew = kind === 'volatile' && old.length === 0;
    return goesBack || isFewer || isNew
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
  const isImage = was.form === 'intel-hex' || was.form === 's-record';
  const after = new Map(sumsOf(now, profile).map(({ name, state }) => [name, state]));
  // Records of an image have no names, so that they are counted where rows may have moved.
  const records = isImage && was.records.length !== now.records.length;
  const broken = sumsOf(was, profile).filter(
    ({ name, state }) => state === 'right' && !(records && name.startsWith('record')) && after.get(name) !== 'right',
  );
  const wrongRecords = (dump: OracleDump) =>
    sumsOf(dump, { ...profile, totals: [] }).filter(({ state }) => state !== 'right').length;
  // A line that is not there any more, or there twice, is another problem than a wrong sum.
  const count = (label: string) => now.records.filter((record) => `line ${record.label}` === label).length;
  const isGone = (name: string) => name.startsWith('line ') && count(name) !== 1;
  return [
    ...broken
      .filter(({ name }) => !isGone(name))
      .map(({ name }) => `${name} was right and is ${after.get(name) ?? 'gone'}`),
    ...(records && wrongRecords(now) > wrongRecords(was) ? ['more records are wrong than before'] : []),
  ];
}
