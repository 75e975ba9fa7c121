import {
  addressKey,
  type ByteKey,
  bytesOfPlace,
  dataBytesOf,
  endsOf,
  labelsOf,
  lineKey,
  lineOfKey,
  type Num,
  type ProfileJson,
  sumBytesOf,
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
  const expected = (label: Num) => dataBytesOf(profile, label) + sumBytesOf(profile, label);
  for (const { label, bytes: held, type, address } of dump.records) {
    if (type !== undefined) {
      if (address === undefined) continue;
      held?.slice(0, -1).forEach((byte, i) => {
        put(addressKey(address + i), byte);
      });
    } else if (profile.addresses === undefined && isNumbered(label))
      (held ?? new Array<number>(expected(label)).fill(UNREADABLE)).forEach((byte, i) => {
        put(lineKey(label, i + 1), byte);
      });
  }
  return bytes;
}

/** Whether a label is a number, or several: a word is that of another record. */
function isNumbered(label: Label): boolean {
  return typeof label === 'number' || /^\d+(?:-\d+)+$/.test(label);
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
  if (profile.lineSum === undefined) return [];
  const summed = labelsOf(profile).filter((label) => sumBytesOf(profile, label) > 0);
  return summed.map((label) => {
    const found = dump.records.filter((record) => record.label === label);
    const [held] = found.map(({ bytes }) => bytes);
    const data = dataBytesOf(profile, label);
    const isWhole = found.length === 1 && held?.length === data + sumBytesOf(profile, label);
    const right = isWhole && held !== undefined ? lineSumBytes(profile, label, held.slice(0, data)) : undefined;
    return { name: `line ${label}`, state: stateOf(right, held?.slice(data)) };
  });
}

/** What a line is to end in. */
export function lineSumBytes(profile: ProfileJson, label: Num, data: readonly number[]): readonly number[] {
  const { lineSum } = profile;
  if (lineSum === undefined || sumBytesOf(profile, label) === 0) return [];
  const numbers = String(label)
    .split('-')
    .map((number) => bytesOfNumber(BigInt(number), lineSum.labelBytes ?? 1, 'big'));
  const parts = {
    module: bytesOfNumber(BigInt(profile.module ?? 0), 2, 'big'),
    label: numbers.flat(),
    'label.1': numbers[0] ?? [],
    'label.2': numbers[1] ?? [],
    length: [data.length],
    data,
  };
  return sumOf(
    lineSum,
    (lineSum.over ?? ['data']).flatMap((part) => parts[part]),
  );
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
  const lines = new Set(coveredBy(profile, total).map(lineOfKey));
  const isOdd = dump.records.some(
    ({ label, bytes: held }) =>
      isNumbered(label) &&
      lines.has(label) &&
      held?.length !== dataBytesOf(profile, label) + sumBytesOf(profile, label),
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
  const sums = (label: Num) => (over.includes('sums') ? sumBytesOf(profile, label) : 0);
  return linesIn(labelsOf(profile), lines).flatMap((label) =>
    Array.from({ length: dataBytesOf(profile, label) + sums(label) }, (_, i) => lineKey(label, i + 1)),
  );
}

/** Of all labels, those from one to another: "1-18", of labels with several numbers "3-1..4-2". */
function linesIn(labels: readonly Num[], lines: string | undefined): readonly Num[] {
  if (lines === undefined) return labels;
  const isOfSeveral = typeof labels[0] === 'string';
  const [first, last = first] = isOfSeveral ? lines.split('..') : endsOf(lines);
  return labels.slice(labels.indexOf(first as Num), labels.indexOf(last as Num) + 1);
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
