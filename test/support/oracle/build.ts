import { coveredBy, lineSumBytes, placeOfTotal } from './contents.js';
import {
  addressKey,
  type ByteKey,
  bytesOfPlace,
  dataBytesOf,
  labelsOf,
  lineKey,
  type Num,
  type OptionJson,
  type ProfileJson,
} from './profileJson.js';
import { sumOf } from './sums.js';
import { type FormId, formOf, sealOfText } from './texts.js';

/** The data bytes of a dump by their keys. */
export type Bytes = Map<ByteKey, number>;

/** All data bytes of a profile, made of a seed: invented, and the same in every run. */
export function inventedBytes(profile: ProfileJson, seed: number): Bytes {
  const next = randomNumbers(seed);
  return new Map(dataKeys(profile).map((key) => [key, Math.floor(next() * 256)]));
}

function dataKeys(profile: ProfileJson): readonly ByteKey[] {
  const { addresses, absent = [] } = profile;
  if (addresses === undefined)
    return labelsOf(profile).flatMap((label) =>
      Array.from({ length: dataBytesOf(profile, label) }, (_, i) => lineKey(label, i + 1)),
    );
  const gaps = new Set(absent.flatMap((range) => bytesOfPlace(profile, range)));
  return bytesOfPlace(profile, addresses).filter((key) => !gaps.has(key));
}

/** A small generator of numbers from 0 to 1 (mulberry32, public domain). */
export function randomNumbers(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

/** Puts a number into the place of an option. */
export function putOption(bytes: Bytes, profile: ProfileJson, option: OptionJson, raw: number): void {
  const keys = [...bytesOfPlace(profile, option)];
  if (option.bits !== undefined) {
    const [high = 0, low = high] = option.bits.split('-').map(Number);
    const mask = ((1 << (high - low + 1)) - 1) << low;
    const [key = ''] = keys;
    bytes.set(key, ((bytes.get(key) ?? 0) & ~mask) | ((raw << low) & mask));
    return;
  }
  if (option.order !== 'little') keys.reverse();
  keys.forEach((key, i) => {
    const byte = Math.floor(raw / 256 ** i) % 256;
    bytes.set(key, option.swapped === undefined ? byte : (byte % 16) * 16 + Math.floor(byte / 16));
  });
}

/** What is in the place of an option, as a number without a sign. */
export function rawOf(bytes: ReadonlyMap<ByteKey, number>, profile: ProfileJson, option: OptionJson): number {
  const keys = [...bytesOfPlace(profile, option)];
  if (option.bits !== undefined) {
    const [high = 0, low = high] = option.bits.split('-').map(Number);
    return ((bytes.get(keys[0] ?? '') ?? 0) >> low) & ((1 << (high - low + 1)) - 1);
  }
  if (option.order === 'little') keys.reverse();
  return keys.reduce((all, key) => {
    const byte = bytes.get(key) ?? 0;
    return all * 256 + (option.swapped === undefined ? byte : (byte % 16) * 16 + Math.floor(byte / 16));
  }, 0);
}

/** The text of a dump with all sums right, headers first; `sealed` puts the seal over it. */
export function dumpOfBytes(
  profile: ProfileJson,
  data: Bytes,
  headers: Readonly<Record<string, string>>,
  sealed = false,
): string {
  const form = formOf(profile);
  const body =
    form === 'intel-hex' || form === 's-record' ? imageBody(profile, data, form) : linesBody(profile, data, form);
  const sign = form === 'intel-hex' || form === 's-record' ? '; ' : '';
  const all = sealed ? { ...headers, seal: sealOfText(body, form) } : headers;
  const head = Object.entries(all).map(([name, value]) => `${sign}@${name} ${value}\n`);
  return `${head.join('')}\n${body}`;
}

/** Puts all totals right that are stored among the data; as one may cover another, until nothing changes any more. */
function settle(profile: ProfileJson, data: Bytes): ReadonlyMap<string, readonly number[]> {
  const records = new Map<string, readonly number[]>();
  const totals = profile.totals ?? [];
  for (let round = 0; round <= totals.length; round++) {
    for (const total of totals) {
      const all = withLineSums(profile, data);
      const value = sumOf(
        total,
        coveredBy(profile, total).map((key) => all.get(key) ?? Number.NaN),
      );
      const place = placeOfTotal(profile, total);
      if (place === undefined) records.set(String(total.label ?? 'total'), value);
      place?.forEach((key, i) => {
        data.set(key, value[i] ?? Number.NaN);
      });
    }
  }
  return records;
}

function withLineSums(profile: ProfileJson, data: Bytes): Bytes {
  const all = new Map(data);
  for (const label of labelsOf(profile)) {
    const line = dataOfLine(profile, data, label);
    lineSumBytes(profile, label, line).forEach((byte, i) => {
      all.set(lineKey(label, line.length + i + 1), byte);
    });
  }
  return all;
}

function dataOfLine(profile: ProfileJson, data: Bytes, label: Num): readonly number[] {
  return Array.from({ length: dataBytesOf(profile, label) }, (_, i) => data.get(lineKey(label, i + 1)) ?? Number.NaN);
}

const hex = (bytes: readonly number[], gap = ' ') =>
  bytes.map((byte) => byte.toString(16).toUpperCase().padStart(2, '0')).join(gap);

function linesBody(profile: ProfileJson, data: Bytes, form: FormId): string {
  const records = settle(profile, data);
  const lines = labelsOf(profile).map((label) => {
    const line = dataOfLine(profile, data, label);
    const sum = lineSumBytes(profile, label, line);
    const [first = 0, second = 0] = String(label).split('-').map(Number);
    if (form === 'pattern') return `<${hex([first])}> ${hex(line)} = ${hex(sum)} ; read twice`;
    if (form === 'pattern-of-two') return `<${hex([first])}.${second}> ${hex(line)} = ${hex(sum)} ; read twice`;
    return `${String(label).padStart(2)}: ${hex(line)}${sum.length === 0 ? '' : ` | ${hex(sum)}`}`;
  });
  return [...lines, ...[...records].map(([label, value]) => `${label}: ${hex(value)}`), ''].join('\n');
}

const RECORD = 16;

function imageBody(profile: ProfileJson, data: Bytes, form: FormId): string {
  settle(profile, data);
  const { from = 0, to = 0 } = profile.addresses ?? {};
  const lines: string[] = [];
  let base = 0;
  for (let address = Number(from); address <= Number(to); ) {
    const bytes: number[] = [];
    const first = address;
    while (bytes.length < RECORD && data.has(addressKey(address)))
      bytes.push(data.get(addressKey(address++)) ?? Number.NaN);
    if (bytes.length === 0) {
      address++;
      continue;
    }
    const page = Math.floor(first / 0x10000);
    if (form === 'intel-hex' && page !== base) {
      lines.push(intelHex(0, 4, [page >> 8, page & 0xff]));
      base = page;
    }
    lines.push(form === 'intel-hex' ? intelHex(first % 0x10000, 0, bytes) : sRecord(2, 3, first, bytes));
  }
  const ends = form === 'intel-hex' ? [intelHex(0, 1, [])] : [sRecord(5, 2, lines.length, []), sRecord(8, 3, 0, [])];
  return [...lines, ...ends, ''].join('\n');
}

function intelHex(address: number, type: number, bytes: readonly number[]): string {
  const all = [bytes.length, address >> 8, address & 0xff, type, ...bytes];
  return `:${hex([...all, (256 - (all.reduce((sum, byte) => sum + byte, 0) % 256)) % 256], '')}`;
}

function sRecord(type: number, wide: number, address: number, bytes: readonly number[]): string {
  const place = Array.from({ length: wide }, (_, i) => Math.floor(address / 256 ** (wide - 1 - i)) % 256);
  const all = [wide + bytes.length + 1, ...place, ...bytes];
  return `S${type}${hex([...all, 255 - (all.reduce((sum, byte) => sum + byte, 0) % 256)], '')}`;
}
