import { type Dice, diceOf } from './dice.js';
import type { FamilyMember } from './family.js';
import { dumpOfBytes, inventedBytes, putOption } from './oracle/build.js';
import { coveredBy, placeOfTotal } from './oracle/contents.js';
import {
  type ByteKey,
  bytesOfPlace,
  dataBytesOf,
  isSecurity,
  labelsOf,
  lineOfKey,
  maskOfOption,
  type OptionJson,
  type PlaceJson,
  type ProfileJson,
  type StretchJson,
  type SumJson,
  type TotalJson,
} from './oracle/profileJson.js';
import { widthOf } from './oracle/sums.js';
import { formOf, PATTERN, PATTERN_OF_TWO } from './oracle/texts.js';

/**
 * A module made at random, without contradictions: geometry, sums, totals of any kind and place, locks, options of every
 * meaning on any bytes, balance places. Its dumps are right in all sums; what people do to them comes afterwards.
 */
export function randomModule(seed: number, name = 'any'): FamilyMember {
  const dice = diceOf(seed);
  const isImage = dice.once(3);
  const frame = isImage ? imageFrame(dice) : seed % 4 === 1 ? stretchesFrame(dice) : linesFrame(dice);
  const profile = withOptions(dice, withLocks(dice, withTotals(dice, frame)));
  const full = dice.once(6) ? profile : withBalance(dice, profile);
  return dumpsOf(dice, name, { ...full, title: `Module ${seed}` });
}

const LINE_SUMS: readonly SumJson[] = [
  { method: 'add', bits: 8 },
  { method: 'add', bits: 8, complement: 'twos' },
  { method: 'add', bits: 16, order: 'little' },
  { method: 'add', bits: 16, unit: 2, complement: 'ones' },
  { method: 'xor', bits: 8, start: '0xA5' },
  { method: 'add-end-around', bits: 16 },
  { method: 'fletcher', bits: 16 },
  { method: 'crc', model: 'CRC-8/SMBUS' },
  { method: 'crc', model: 'CRC-16/MODBUS', order: 'little' },
];

const TOTALS: readonly SumJson[] = [
  ...LINE_SUMS,
  { method: 'add', bits: 32, order: 'little' },
  { method: 'xor', bits: 16 },
  { method: 'adler' },
  { method: 'crc', model: 'CRC-16/IBM-3740' },
  { method: 'crc', model: 'CRC-32/ISO-HDLC', order: 'little' },
];

function linesFrame(dice: Dice): ProfileJson {
  const from = dice.pick([0, 1, 1, 1, 5]);
  const to = from + dice.int(2, 7);
  const lineSum = dice.once(8) ? undefined : dice.pick(LINE_SUMS);
  const isByPattern = lineSum !== undefined && dice.once(5);
  const count = () => dice.int(2, 8);
  const labels = Array.from({ length: to - from + 1 }, (_, i) => String(from + i));
  const data = dice.once(3) ? Object.fromEntries(labels.map((label) => [label, count()])) : count();
  const over = dice.some(['module', 'label', 'length'] as const, dice.int(0, 3));
  return {
    format: 1,
    module: dice.pick(['0x0B0D', 4711]),
    ...(isByPattern && { notation: { pattern: PATTERN, otherwise: dice.pick(['keep', 'report'] as const) } }),
    lines: { from, to, data, ...(lineSum !== undefined && { sum: widthOf(lineSum) }) },
    ...(lineSum !== undefined && { lineSum: { ...lineSum, over: [...over, 'data'] } }),
  };
}

/** Lines in stretches of their own lengths, some without a sum; most have labels of two numbers. */
function stretchesFrame(dice: Dice): ProfileJson {
  const lineSum = dice.once(6) ? undefined : dice.pick(LINE_SUMS);
  const isOfOne = dice.once(5);
  const isByPattern = lineSum !== undefined && !isOfOne && dice.once(2);
  let last = dice.pick([0, 1, 7]);
  const count = dice.int(2, 3);
  const stretches = Array.from({ length: count }, (_, i): StretchJson => {
    const from = isOfOne ? last + dice.int(1, 9) : dice.pick([0, 1, 9]);
    const to = from + dice.int(0, 3);
    last = isOfOne ? to : last + dice.int(1, 9);
    const label = (number: number) => (isOfOne ? number : `${last}-${number}`);
    const bytes = () => dice.int(2, 8);
    const labels = Array.from({ length: to - from + 1 }, (__, at) => String(label(from + at)));
    const data = dice.once(3) ? Object.fromEntries(labels.map((one) => [one, bytes()])) : bytes();
    const hasSum = lineSum !== undefined && (isByPattern || i === 0 || !dice.once(4));
    return { from: label(from), to: label(to), data, ...(hasSum && { sum: widthOf(lineSum) }) };
  });
  const ofLabel = dice.pick<LineSumOver>([
    ['label'],
    ['label.1'],
    ...(isOfOne ? [] : [['label.2', 'label.1'] as const]),
  ]);
  const others = dice.some(['module', 'length'] as const, dice.int(0, 2));
  const over = dice.once(4) ? others : dice.once(2) ? [...others, ...ofLabel] : [...ofLabel, ...others];
  const labelBytes = over.some((part) => part.startsWith('label')) && dice.once(3) ? { labelBytes: 2 } : {};
  return {
    format: 1,
    module: dice.pick(['0x0B0D', 4711]),
    ...(isByPattern && { notation: { pattern: PATTERN_OF_TWO, otherwise: dice.pick(['keep', 'report'] as const) } }),
    lines: dice.once(2) ? stretches : [...stretches].reverse(),
    ...(lineSum !== undefined && { lineSum: { ...lineSum, over: [...over, 'data'], ...labelBytes } }),
  };
}

type LineSumOver = NonNullable<NonNullable<ProfileJson['lineSum']>['over']>;

function imageFrame(dice: Dice): ProfileJson {
  const from = dice.pick([0, 0x100, 0xffd0, 0x1_2340]);
  return {
    format: 1,
    notation: dice.pick(['intel-hex', 's-record']),
    addresses: { from, to: from + dice.int(40, 150) },
  };
}

/** Every byte of a dump as a place of its own. */
function placesOf(profile: ProfileJson): readonly PlaceJson[] {
  const { addresses } = profile;
  if (addresses !== undefined)
    return Array.from({ length: Number(addresses.to) - Number(addresses.from) + 1 }, (_, i) => ({
      address: Number(addresses.from) + i,
    }));
  return labelsOf(profile).flatMap((line) =>
    Array.from({ length: dataBytesOf(profile, line) }, (_, i) => ({ line, byte: i + 1 })),
  );
}

/** A run of so many bytes from a random place on; undefined where it would run off the line or the image. */
function run(dice: Dice, profile: ProfileJson, count: number): PlaceJson | undefined {
  const { line, byte = 1, address } = dice.pick(placesOf(profile));
  if (line === undefined) {
    const first = Number(address);
    return first + count - 1 > Number(profile.addresses?.to) ? undefined : { address: first, bytes: count };
  }
  if (byte + count - 1 > dataBytesOf(profile, line)) return undefined;
  return count === 1 && dice.once(2) ? { line, byte } : { line, bytes: `${byte}-${byte + count - 1}` };
}

function runWhere(
  dice: Dice,
  profile: ProfileJson,
  count: number,
  fits: (keys: readonly ByteKey[]) => boolean,
): PlaceJson | undefined {
  for (let attempt = 0; attempt < 12; attempt++) {
    const place = run(dice, profile, count);
    if (place !== undefined && fits(bytesOfPlace(profile, place))) return place;
  }
  return undefined;
}

function withTotals(dice: Dice, frame: ProfileJson): ProfileJson {
  const totals: TotalJson[] = [];
  for (const name of ['file sum', 'check word', 'block sum'].slice(0, dice.int(0, 3))) {
    const total = randomTotal(dice, frame, name, totals);
    const isOne = total !== undefined && coveredBy(frame, total).length > 0;
    if (isOne && !runInCircle(frame, [...totals, total])) totals.push(total);
  }
  return { ...frame, totals };
}

const LABELS: Readonly<Record<string, string>> = { 'file sum': 'total', 'check word': 'check', 'block sum': 'block' };

function randomTotal(
  dice: Dice,
  frame: ProfileJson,
  name: string,
  others: readonly TotalJson[],
): TotalJson | undefined {
  const sum = dice.pick(TOTALS);
  const keep = dice.once(2) ? { keep: true } : {};
  const taken = new Set(others.flatMap((other) => placeOfTotal(frame, other) ?? []));
  const place = runWhere(dice, frame, widthOf(sum), (keys) => !keys.some((key) => taken.has(key)));
  if (frame.addresses !== undefined) {
    if (place === undefined) return undefined;
    const from = dice.int(Number(frame.addresses.from), Number(frame.addresses.to));
    const over = dice.once(2) ? {} : { over: [{ from, to: dice.int(from, Number(frame.addresses.to)) }] };
    return { ...sum, name, address: Number(place.address), ...over, ...keep };
  }
  const labels = labelsOf(frame);
  const first = dice.int(0, labels.length - 1);
  const between = typeof labels[0] === 'string' ? '..' : '-';
  const lines = dice.once(2)
    ? {}
    : { lines: `${labels[first]}${between}${labels[dice.int(first, labels.length - 1)]}` };
  const over = frame.lineSum !== undefined && dice.once(4) ? (['data', 'sums'] as const) : (['data'] as const);
  const isByPattern = frame.notation !== undefined;
  const stored =
    !isByPattern && (place === undefined || dice.once(2))
      ? { label: LABELS[name] ?? name }
      : place && { line: place.line ?? '', byte: place.byte ?? Number(String(place.bytes).split('-')[0]) };
  return stored && { ...sum, name, ...stored, ...lines, over, ...keep };
}

/** Whether some total covers, over others or the sums of lines, the bytes in which it is stored itself. */
function runInCircle(frame: ProfileJson, totals: readonly TotalJson[]): boolean {
  const profile = { ...frame, totals };
  const lineOf = (key: ByteKey) => key.split('/')[0] ?? '';
  const needs = (one: TotalJson, other: TotalJson): boolean => {
    const stored = placeOfTotal(profile, other) ?? [];
    const covered = coveredBy(profile, one);
    const data = one === other ? [] : stored.filter((key) => covered.includes(key));
    // The sum of a line moves with each byte of the line.
    const bySum = stored.some((key) =>
      covered.some((at) => at.includes('/') && lineOf(at) === lineOf(key) && isSumByte(profile, at)),
    );
    return data.length > 0 || bySum;
  };
  const seen = (trail: readonly TotalJson[]): boolean =>
    totals.some((next) => {
      const last = trail.at(-1);
      if (last === undefined || !needs(last, next)) return false;
      return trail.includes(next) || seen([...trail, next]);
    });
  return totals.some((total) => seen([total]));
}

function isSumByte(profile: ProfileJson, key: ByteKey): boolean {
  return Number(key.split('/')[1] ?? 0) > dataBytesOf(profile, lineOfKey(key));
}

function storedKeys(profile: ProfileJson): readonly (readonly ByteKey[])[] {
  return (profile.totals ?? []).map((total) => placeOfTotal(profile, total) ?? []);
}

/** Places that are locked or change by themselves: they hold a stored sum wholly or not at all. */
function withLocks(dice: Dice, profile: ProfileJson): ProfileJson {
  const sums = storedKeys(profile);
  const wholly = (keys: readonly ByteKey[]) =>
    sums.every((sum) => sum.every((key) => keys.includes(key)) || !sum.some((key) => keys.includes(key)));
  const region = (why: string) => {
    const place = runWhere(dice, profile, dice.int(1, 3), wholly);
    return place === undefined ? [] : [{ ...place, why }];
  };
  const stored = dice.pick([[], [], ...sums]);
  const overSum = stored.length === 0 ? [] : [{ ...placeOfKeys(stored), why: 'sum' }];
  return {
    ...profile,
    locked: [...Array.from({ length: dice.int(0, 2) }, () => region('identity')).flat(), ...overSum],
    volatile: Array.from({ length: dice.int(0, 1) }, () => region('counter')).flat(),
  };
}

/** The place that some bytes side by side make. */
function placeOfKeys(keys: readonly ByteKey[]): PlaceJson {
  const [first = '', last = ''] = [keys[0], keys.at(-1)];
  if (first.startsWith('@')) return { address: Number(first.slice(1)), bytes: keys.length };
  return { line: lineOfKey(first), bytes: `${first.split('/')[1]}-${last.split('/')[1]}` };
}

const HAZARDS = ['lighting', 'braking', ['lighting', 'other'], 'security', ['other', 'security']] as const;

function withOptions(dice: Dice, profile: ProfileJson): ProfileJson {
  const taken = new Map<ByteKey, number>(
    storedKeys(profile).flatMap((keys) => keys.map((key) => [key, 0xff] as const)),
  );
  const options: OptionJson[] = [];
  for (let i = dice.int(1, 6); i > 0; i--) {
    const option = randomOption(dice, profile, `option-${i}`, taken);
    if (option === undefined) continue;
    for (const key of bytesOfPlace(profile, option)) taken.set(key, (taken.get(key) ?? 0) | maskOfOption(option));
    const other = options.length > 0 && dice.once(4) ? dice.pick(options) : undefined;
    const condition = other && { [dice.pick(['needs', 'excludes'])]: [{ option: other.id, in: [dice.int(0, 1)] }] };
    options.push({ ...option, ...condition });
  }
  return { ...profile, options };
}

function randomOption(
  dice: Dice,
  profile: ProfileJson,
  id: string,
  taken: ReadonlyMap<ByteKey, number>,
): OptionJson | undefined {
  const count = dice.pick([1, 1, 1, 1, 2, 2, 3, 4]);
  const low = dice.int(0, 7);
  const high = dice.int(low, 7);
  const bits = count === 1 && dice.once(2) ? { bits: dice.once(2) && high === low ? `${low}` : `${high}-${low}` } : {};
  const mask = maskOfOption({ id, title: id, ...bits });
  const place = runWhere(dice, profile, count, (keys) => keys.every((key) => ((taken.get(key) ?? 0) & mask) === 0));
  if (place === undefined) return undefined;
  const width = bits.bits === undefined ? 8 * count : high - low + 1;
  return {
    id,
    title: `Option ${id.at(-1)}`,
    ...place,
    ...bits,
    ...(count > 1 && { order: dice.pick(['big', 'little'] as const) }),
    ...randomMeaning(dice, width, count),
    ...(dice.once(2) && { hazard: dice.pick(HAZARDS) }),
  };
}

function randomMeaning(dice: Dice, width: number, count: number): Partial<OptionJson> {
  const whole = width === 8 * count ? (['text', 'bcd', 'date', 'special'] as const) : [];
  const kind = dice.pick(['values', 'values', 'number', 'flags', ...whole]);
  const most = 2 ** Math.min(width, 30) - 1;
  switch (kind) {
    case 'values':
      return { values: Object.fromEntries([0, 1, dice.int(0, most)].map((value) => [String(value), `word ${value}`])) };
    case 'number':
      return {
        number: {
          scale: dice.pick([1, 1, 0.5, 10, -2]),
          offset: dice.pick([0, 0, -40]),
          ...(width > 1 && { signed: dice.once(3) }),
          unit: 'km',
        },
      };
    case 'flags':
      return { flags: Object.fromEntries([0, dice.int(0, width - 1)].map((bit) => [String(bit), `flag ${bit}`])) };
    case 'bcd':
      return { number: { coding: 'bcd', unit: 'km' }, ...(dice.once(2) && { swapped: 'nibbles' }) };
    case 'date':
      return { date: ['YY', 'YYWW', 'DDMMYY', 'YYYYMMDD'][count - 1] ?? 'YY', coding: 'bcd', order: 'big' };
    case 'special':
      return { number: { unit: 'km' }, special: { '254': 'never', '0xFF': 'not set' } };
    default:
      return { text: 'ascii' };
  }
}

function withBalance(dice: Dice, profile: ProfileJson): ProfileJson {
  const { options = [], locked = [], volatile = [] } = profile;
  const barred = new Set([
    ...storedKeys(profile).flat(),
    ...[...locked, ...volatile, ...options.filter(isSecurity)].flatMap((place) => bytesOfPlace(profile, place)),
  ]);
  const places = Array.from({ length: dice.int(1, 4) }, () => {
    const place = runWhere(dice, profile, dice.pick([1, 1, 2, 2, 4]), (keys) => !keys.some((key) => barred.has(key)));
    for (const key of place === undefined ? [] : bytesOfPlace(profile, place)) barred.add(key);
    return place ?? [];
  });
  return { ...profile, balance: places.flat() };
}

const CAR = { vehicle: 'stock no. 78', part: 'AN-2001', software: '0311' };

function dumpsOf(dice: Dice, name: string, profile: ProfileJson): FamilyMember {
  const form = formOf(profile);
  const ending = form === 'intel-hex' ? 'hex' : form === 's-record' ? 's28' : 'cfgdump';
  const [profileFile, backupFile] = [`${name}.dump-profile.json`, `${name}.as-found.${ending}`];
  const headers = { profile: profileFile, ...CAR };
  const found = inventedBytes(profile, dice.int(0, 1e9));
  for (const option of profile.options ?? []) putOption(found, profile, option, validRaw(dice, option));
  const backup = dumpOfBytes(profile, found, headers, true);
  const planned = new Map(found);
  for (const option of dice.some(profile.options ?? [], dice.int(0, 2)))
    if (!isSecurity(option)) putOption(planned, profile, option, validRaw(dice, option));
  // Somebody may have balanced otherwise than the tool would.
  const balanced = dice.once(2) ? (profile.balance ?? []) : [];
  for (const key of balanced.flatMap((place) => bytesOfPlace(profile, place))) planned.set(key, dice.int(0, 255));
  const inWork = { ...headers, backup: backupFile };
  const work = dumpOfBytes(profile, planned, inWork);
  // A sum in a locked place stays as it is, and so do the options that it covers.
  const isKept = (profile.locked ?? [])
    .flatMap((place) => bytesOfPlace(profile, place))
    .every((key) => planned.get(key) === found.get(key));
  return {
    name,
    form,
    profile,
    profileFile,
    backupFile,
    backup,
    workFile: `${name}.${ending}`,
    work: isKept ? work : dumpOfBytes(profile, found, inWork),
  };
}

/** Some dates in decimal digits that an option can hold, with what people write for them. */
export function datesOf({ date }: OptionJson): readonly (readonly [raw: string, written: string])[] {
  switch (date) {
    case 'YY':
      return [
        ['0x24', '2024'],
        ['0x99', '1999'],
      ];
    case 'YYWW':
      return [
        ['0x2409', '2024-W09'],
        ['0x9952', 'KW 52/1999'],
      ];
    case 'DDMMYY':
      return [
        ['0x290224', '29.02.2024'],
        ['0x311299', '1999-12-31'],
      ];
    default:
      return [
        ['0x20240229', '29 Feb 2024'],
        ['0x19991231', '12/31/1999'],
      ];
  }
}

/** A value that an option can hold and has words for. */
function validRaw(dice: Dice, option: OptionJson): number {
  if (option.values !== undefined) return Number(dice.pick(Object.keys(option.values)));
  if (option.flags !== undefined) return dice.once(2) ? 1 : 0;
  if (option.date !== undefined) return Number(dice.pick(datesOf(option))[0]);
  return option.text === undefined ? dice.int(0, 1) : 0x41;
}
