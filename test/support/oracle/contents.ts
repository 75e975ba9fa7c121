import {
  addressKey,
  type ByteKey,
  bytesOfPlace,
  dataBytesOf,
  lineKey,
  type ProfileJson,
  type TotalJson,
} from './profileJson.js';
import { bytesOfNumber, sumOf, widthOf } from './sums.js';
import { type Label, type OracleDump, type OracleRecord, recordSumIsRight } from './texts.js';

/** A sum that a dump stores, as the oracle finds it. */
export interface OracleSum {
  /** "line 4", "total file sum" or "record 12: <text>". */
  readonly name: string;
  /** `unknown` where anything that it takes is missing, twice there or cannot be read. */
  readonly state: 'right' | 'wrong' | 'unknown';
}

/** A byte that is there and cannot be read. */
export const UNREADABLE = -1;

/** The values of each byte by its key: several where a line or an address is there more than once. */
export function bytesByKey(dump: OracleDump, profile: ProfileJson): ReadonlyMap<ByteKey, readonly number[]> {
  const bytes = new Map<ByteKey, number[]>();
  const put = (key: ByteKey, value: number) => bytes.set(key, [...(bytes.get(key) ?? []), value]);
  const expected = (label: number) => dataBytesOf(profile, label) + Number(profile.lines?.sum ?? 0);
  for (const { label, bytes: held, type, address } of dump.records) {
    if (type !== undefined) {
      if (address === undefined) continue;
      held?.slice(0, -1).forEach((byte, i) => {
        put(addressKey(address + i), byte);
      });
    } else if (profile.addresses === undefined && typeof label === 'number')
      (held ?? new Array<number>(expected(label)).fill(UNREADABLE)).forEach((byte, i) => {
        put(lineKey(label, i + 1), byte);
      });
  }
  return bytes;
}

/**
 * Every sum of a dump that its profile, or its written form, describes. A line that is there twice leaves all totals
 * unknown; `readable` counts only those that can be read, so that what a torn copy leaves open is not held against anybody.
 */
export function sumsOf(
  all: OracleDump,
  profile: ProfileJson,
  copies: 'any' | 'readable' = 'any',
): readonly OracleSum[] {
  const twice = (label: Label) => all.records.filter((record) => record.label === label).length > 1;
  const isTornCopy = ({ label, bytes: held }: OracleRecord) =>
    copies === 'readable' && held === undefined && twice(label);
  const dump = { ...all, records: all.records.filter((record) => !isTornCopy(record)) };
  const bytes = bytesByKey(dump, profile);
  const isImage = dump.form === 'intel-hex' || dump.form === 's-record';
  const own = isImage ? recordSums(dump) : lineSums(dump, profile);
  return [...own, ...(profile.totals ?? []).map((total) => totalOf(dump, profile, total, bytes))];
}

function recordSums(dump: OracleDump): readonly OracleSum[] {
  return dump.records.map((record) => ({
    name: `record at row ${record.row + 1}`,
    state: record.bytes === undefined ? 'unknown' : recordSumIsRight(dump, record) ? 'right' : 'wrong',
  }));
}

function lineSums(dump: OracleDump, profile: ProfileJson): readonly OracleSum[] {
  const { lineSum, lines } = profile;
  if (lineSum === undefined || lines === undefined) return [];
  return labelsOf(profile).map((label) => {
    const found = dump.records.filter((record) => record.label === label);
    const [held] = found.map(({ bytes }) => bytes);
    const data = dataBytesOf(profile, label);
    const isWhole = found.length === 1 && held?.length === data + Number(lines.sum ?? 0);
    const right = isWhole && held !== undefined ? lineSumBytes(profile, label, held.slice(0, data)) : undefined;
    return { name: `line ${label}`, state: stateOf(right, held?.slice(data)) };
  });
}

/** What a line is to end in. */
export function lineSumBytes(profile: ProfileJson, label: number, data: readonly number[]): readonly number[] {
  const { lineSum } = profile;
  if (lineSum === undefined) return [];
  const parts = {
    module: bytesOfNumber(BigInt(profile.module ?? 0), 2, 'big'),
    label: bytesOfNumber(BigInt(label), lineSum.labelBytes ?? 1, 'big'),
    length: [data.length],
    data,
  };
  return sumOf(
    lineSum,
    (lineSum.over ?? ['data']).flatMap((part) => parts[part]),
  );
}

export function labelsOf({ lines }: ProfileJson): readonly number[] {
  if (lines === undefined) return [];
  return Array.from({ length: Number(lines.to) - Number(lines.from) + 1 }, (_, i) => Number(lines.from) + i);
}

function stateOf(right: readonly number[] | undefined, stored: readonly number[] | undefined): OracleSum['state'] {
  if (right === undefined || stored === undefined) return 'unknown';
  return right.join() === stored.join() ? 'right' : 'wrong';
}

function totalOf(
  dump: OracleDump,
  profile: ProfileJson,
  total: TotalJson,
  bytes: ReadonlyMap<ByteKey, readonly number[]>,
): OracleSum {
  const covered = coveredBy(profile, total).map((key) => only(bytes.get(key)));
  const known = covered.filter((byte) => byte !== undefined);
  // Where a line is there twice, no total is known: it may be the one that a total is stored in, or one that has a wrong label.
  const labels = dump.records.flatMap(({ label, type }) => (type === undefined ? label : []));
  if ([...bytes.values()].some(({ length }) => length > 1) || new Set(labels).size < labels.length)
    return { name: `total ${total.name}`, state: 'unknown' };
  // Of a line of another length nobody knows which bytes are which.
  const lines = new Set(coveredBy(profile, total).map((key) => Number(key.split('/')[0])));
  const isOdd = dump.records.some(
    ({ label, bytes: held }) =>
      typeof label === 'number' &&
      lines.has(label) &&
      held?.length !== dataBytesOf(profile, label) + Number(profile.lines?.sum ?? 0),
  );
  const right = known.length === covered.length && !isOdd ? sumOf(total, known) : undefined;
  return { name: `total ${total.name}`, state: stateOf(right, storedBytes(dump, profile, total, bytes)) };
}

function only<T>(values: readonly T[] | undefined): T | undefined {
  const [first, ...others] = values ?? [];
  return others.length > 0 || Object.is(first, UNREADABLE) ? undefined : first;
}

/** The bytes that a total runs over, first to last. */
export function coveredBy(profile: ProfileJson, total: TotalJson): readonly ByteKey[] {
  const stored = new Set(placeOfTotal(profile, total));
  return runOf(profile, total).filter((key) => !stored.has(key));
}

function runOf(profile: ProfileJson, { over = ['data'], lines }: TotalJson): readonly ByteKey[] {
  const ranges = over.flatMap((part) => (typeof part === 'object' ? [part] : []));
  const { addresses } = profile;
  if (addresses !== undefined)
    return (ranges.length > 0 ? ranges : [addresses]).flatMap((range) =>
      bytesOfPlace(profile, range).filter(
        (key) => !(profile.absent ?? []).some((gap) => bytesOfPlace(profile, gap).includes(key)),
      ),
    );
  const [first = 0, last = first] = lines === undefined ? [0, Number.MAX_VALUE] : lines.split('-').map(Number);
  const sums = over.includes('sums') ? Number(profile.lines?.sum ?? 0) : 0;
  return labelsOf(profile)
    .filter((label) => label >= first && label <= last)
    .flatMap((label) => Array.from({ length: dataBytesOf(profile, label) + sums }, (_, i) => lineKey(label, i + 1)));
}

/** The bytes in which a total is stored; undefined where it has a record of its own. */
export function placeOfTotal(profile: ProfileJson, total: TotalJson): readonly ByteKey[] | undefined {
  const width = widthOf(total);
  const { line, byte = 1, address } = total;
  if (line !== undefined) return bytesOfPlace(profile, { line, bytes: `${byte}-${byte + width - 1}` });
  return address === undefined ? undefined : bytesOfPlace(profile, { address, bytes: width });
}

function storedBytes(
  dump: OracleDump,
  profile: ProfileJson,
  total: TotalJson,
  bytes: ReadonlyMap<ByteKey, readonly number[]>,
): readonly number[] | undefined {
  const place = placeOfTotal(profile, total);
  if (place !== undefined) {
    const held = place.flatMap((key) => only(bytes.get(key)) ?? []);
    return held.length === place.length ? held : undefined;
  }
  const label: Label = total.label ?? 'total';
  const held = only(dump.records.filter((record) => record.label === label).map((record) => record.bytes));
  return held?.length === widthOf(total) ? held : undefined;
}
