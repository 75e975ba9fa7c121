import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';
import { hex, hexBytes } from '../../base/hex.js';
import { labelText } from '../../format/dumpText.js';
import type { Dump } from '../../model/dump.js';
import { labelOfRow } from '../../model/layout.js';
import { lineCalled } from '../../model/lineName.js';
import { type RoleRun, rolesIn } from '../../model/roles.js';

/** The digits of a line, or of addresses behind each other. */
export interface Digits {
  /** The label of the line, or the first address, or the first and the last one. */
  readonly place: string;
  /** The same as the dump writes it. */
  readonly called: string;
  /** Two for each byte, with dots for those that are said in words; of many rows, a digest. */
  readonly digits: string;
}

interface DigitRow extends Digits {
  /** Where the row stands among all that there may be. */
  readonly at: number;
}

type RolesOf = (row: number) => readonly RoleRun[];

/** In place of a digit of an option or a sum: what it is is said in words. */
const SAID = '·';

/** In place of the digits of an address that the image does not have. */
const ABSENT = '  ';

/** Addresses of one row. */
const WIDTH = 16;

/** Rows that a person still reads; a dump of more is told by digests of about as many stretches. */
const MOST_ROWS = 512;

/**
 * The data that no option and no sum holds, without rows of which nothing is left. Of a memory image it depends on what
 * is at each address alone, not on how its records are cut.
 */
export function otherDigits(dump: Dump): readonly Digits[] {
  const left: DigitRow[] = [];
  for (const row of rowsOf(dump, rolesIn(dump, 0, dump.rows.length - 1)))
    if (/[0-9A-F]/.test(row.digits)) left.push(row);
  const joined = dump.layout.kind === 'image' ? joinedAlike(left) : left;
  return joined.length > MOST_ROWS ? digests(left) : joined;
}

/** SHA-256 (FIPS 180-4) of the data with its lines or addresses, however they are written. */
export function digestOf(dump: Dump): string {
  const none: RolesOf = () => [];
  return sha256Of(hasAddresses(dump) ? rowsOfAddresses(dump, none) : rowsOfLines(dump, none));
}

/** Whether each row of a dump begins at an address: so they do in an image, and where no profile says that labels number lines. */
function hasAddresses({ layout, rows, profile: { geometry } }: Dump): boolean {
  if (layout.kind === 'image') return true;
  const { order, keys, dataCount, repeated } = layout;
  if (geometry !== undefined || repeated.length > 0 || order.length === 0) return false;
  return (
    rows.every((row) => row.kind !== 'record' || typeof row.label === 'number') &&
    order.every(
      (_, i) =>
        i === 0 || (keys[i] as number) >= (keys[i - 1] as number) + (dataCount[order[i - 1] as number] as number),
    )
  );
}

function sha256Of(rows: Iterable<Pick<Digits, 'place' | 'digits'>>): string {
  const hash = sha256.create();
  for (const { place, digits } of rows) hash.update(utf8ToBytes(`${place}:${digits}\n`));
  return bytesToHex(hash.digest());
}

function rowsOf(dump: Dump, rolesOf: RolesOf): Iterable<DigitRow> {
  return dump.layout.kind === 'image' ? rowsOfAddresses(dump, rolesOf) : rowsOfLines(dump, rolesOf);
}

function* rowsOfLines(dump: Dump, rolesOf: RolesOf): Generator<DigitRow> {
  for (const [at, row] of [...dump.layout.order, ...dump.layout.repeated].entries()) {
    const label = labelOfRow(dump.rows[row]);
    const pairs = pairsIn(dump, row, rolesOf);
    if (label !== undefined && pairs.length > 0)
      yield { at, place: labelText(label), called: lineCalled(dump, row), digits: pairs.join(' ') };
  }
}

function* rowsOfAddresses(dump: Dump, rolesOf: RolesOf): Generator<DigitRow> {
  const { order, keys } = dump.layout;
  let [at, pairs]: [number, string[]] = [0, []];
  const row = () => {
    const place = hex(at * WIDTH, 4);
    return { at, place, called: place, digits: Array.from(pairs, (pair) => pair ?? ABSENT).join(' ') };
  };
  for (let i = 0; i < order.length; i++) {
    for (const [byte, pair] of pairsIn(dump, order[i] as number, rolesOf).entries()) {
      const address = (keys[i] as number) + byte;
      const own = Math.floor(address / WIDTH);
      if (own !== at) {
        if (pairs.length > 0) yield row();
        [at, pairs] = [own, []];
      }
      pairs[address % WIDTH] = pair;
    }
  }
  if (pairs.length > 0) yield row();
}

/** The digits of each data byte of a row. */
function pairsIn({ rows, layout }: Dump, at: number, rolesOf: RolesOf): readonly string[] {
  const row = rows[at];
  if (row?.kind !== 'record') return [];
  const count = Math.min(row.count, layout.dataCount[at] as number);
  const digits = [...hexBytes(row.store.subarray(row.from, row.from + count))];
  for (const { role, from, to } of rolesOf(at))
    if (role === 'option' || role === 'sum') digits.fill(SAID, from, Math.min(to, digits.length));
  return Array.from({ length: count }, (_, i) => `${digits[2 * i]}${digits[2 * i + 1]}`);
}

/** Rows that go on with the same digits as one, such as those of memory that is not used. */
function joinedAlike(rows: readonly DigitRow[]): readonly Digits[] {
  const runs: { first: DigitRow; last: DigitRow }[] = [];
  for (const row of rows) {
    const run = runs.at(-1);
    if (run?.last.digits === row.digits && run.last.at + 1 === row.at) run.last = row;
    else runs.push({ first: row, last: row });
  }
  return runs.map(({ first, last }) => ({ ...placeOf(first, last), digits: first.digits }));
}

function digests(rows: readonly DigitRow[]): readonly Digits[] {
  const [low, high] = [rows[0]?.at ?? 0, rows.at(-1)?.at ?? 0];
  const each = 2 ** Math.ceil(Math.log2((high - low + 1) / (MOST_ROWS / 2)));
  const stretches = new Map<number, DigitRow[]>();
  for (const row of rows) {
    const stretch = stretches.get(Math.floor(row.at / each));
    if (stretch === undefined) stretches.set(Math.floor(row.at / each), [row]);
    else stretch.push(row);
  }
  return [...stretches.values()].map((stretch) => ({
    ...placeOf(stretch[0], stretch.at(-1)),
    digits: `sha256:${sha256Of(stretch).slice(0, 16)}`,
  }));
}

function placeOf(first: DigitRow | undefined, last: DigitRow | undefined): Pick<Digits, 'place' | 'called'> {
  const joined = (key: 'place' | 'called') =>
    first === last ? (first?.[key] ?? '') : `${first?.[key]}–${last?.[key]}`;
  return { place: joined('place'), called: joined('called') };
}
