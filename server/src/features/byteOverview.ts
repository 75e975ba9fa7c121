import { hex, hexBytes, type Phrase, phrase } from '../../../shared-core/src/base/index.js';
import { checkDump } from '../../../shared-core/src/checks/index.js';
import { compareDumps } from '../../../shared-core/src/compare/index.js';
import { bytesOf } from '../../../shared-core/src/format/index.js';
import {
  addressOf,
  byteAtColumn,
  bytesSpan,
  type Dump,
  labelOfRow,
  lineCalled,
  type RoleRun,
  rolesIn,
} from '../../../shared-core/src/model/index.js';
import {
  BYTE_OVERVIEW,
  type ByteOverviewParams,
  type ByteOverviewResult,
  OVERVIEW_BYTE,
  type OverviewByteParams,
  type OverviewByteResult,
  type OverviewLine,
} from '../../../shared-core/src/protocol/byteOverview.js';
import { answer, type Feature } from '../feature.js';
import type { Analysis, Session } from '../session.js';
import { toRange } from '../toLsp.js';
import { withoutMarks, wordsAt } from './hover.js';

/** The bytes of a dump for the byte overview: what each is for, whether it has changed, whether something is wrong with it. */
export const byteOverview: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<ByteOverviewResult | null, void>(BYTE_OVERVIEW, (params: ByteOverviewParams) =>
      answer<ByteOverviewResult | null>(
        session,
        params.uri,
        (explained) => overviewOf(session, explained, params),
        null,
      ),
    );
    connection.onRequest<OverviewByteResult | null, void>(OVERVIEW_BYTE, (params: OverviewByteParams) =>
      answer(session, params.uri, (explained) => overviewByte(session, explained, params), null),
    );
  },
};

function overviewByte({ say }: Session, explained: Analysis, { at }: OverviewByteParams): OverviewByteResult | null {
  const { dump } = explained;
  const rows = linesOf(dump);
  const row = 'row' in at ? at.row : (rows[at.line] ?? -1);
  const record = dump.rows[row];
  if (record?.kind !== 'record') return null;
  const byte = 'byte' in at ? at.byte : byteAtColumn(dump, record, at.character);
  const span = byte === undefined ? undefined : bytesSpan(dump, row, byte, 1);
  if (byte === undefined || span === undefined) return null;
  const problems = checkDump(explained).filter(
    (problem) => problem.row === row && bytesAt(dump, problem).includes(byte),
  );
  const words = wordsAt(explained, { row, byte }).map((part) => withoutMarks(say(part)));
  const line = rows.indexOf(row);
  return { line, byte, lines: [...words, ...problems.map(({ message }) => say(message))], range: toRange(span) };
}

/** A window of the lines, and what there is to see in all of them. */
function overviewOf(
  { say }: Session,
  explained: Analysis,
  { from, count }: Pick<ByteOverviewParams, 'from' | 'count'>,
): ByteOverviewResult {
  const { dump, backup, version } = explained;
  const rows = linesOf(dump);
  const changed = backup.kind === 'read' ? changedBytes(backup.dump, dump) : new Map<number, readonly number[]>();
  const problems = checkDump(explained);
  const wrong = new Map<number, readonly number[]>();
  for (const problem of problems)
    wrong.set(problem.row, [...(wrong.get(problem.row) ?? []), ...bytesAt(dump, problem)]);
  const shown = rows.slice(from, from + count);
  const roles = rolesIn(dump, shown[0] ?? 0, shown.at(-1) ?? -1);
  const lines = shown.map((row) => lineOf(dump, row, roles(row), changed.get(row) ?? [], wrong.get(row) ?? []));
  const differences = [...changed.values()].reduce((sum, bytes) => sum + bytes.length, 0);
  return {
    version,
    rows: dump.layout.kind === 'image' ? 'addresses' : 'lines',
    total: rows.length,
    widest: lines.reduce((most, { roles: { length } }) => Math.max(most, length), 0),
    from,
    lines,
    kinds: kindsIn(dump),
    summary: [
      phrase('{0} lines', rows.length),
      ...(backup.kind === 'read' ? [differencesInWords(differences)] : []),
      problemsInWords(problems.length),
    ].map(say),
    marked: rows.flatMap((row, at) => {
      const isWrong = wrong.has(row);
      return isWrong || changed.has(row) ? [{ at, wrong: isWrong }] : [];
    }),
  };
}

/** The letters of what bytes may be by the profile; any may be data, or a sum. */
function kindsIn({ profile: { options, locked, volatile, balance } }: Dump): string {
  const some = Object.entries({ o: options, l: locked, v: volatile, b: balance });
  return `ds${some.flatMap(([letter, places]) => (places.length > 0 ? [letter] : [])).join('')}`;
}

function differencesInWords(count: number): Phrase {
  if (count === 0) return phrase('as in the backup');
  return count === 1 ? phrase('1 byte differs from the backup') : phrase('{0} bytes differ from the backup', count);
}

function problemsInWords(count: number): Phrase {
  if (count === 0) return phrase('nothing wrong');
  return count === 1 ? phrase('1 problem') : phrase('{0} problems', count);
}

/** Rows that hold records, also those that cannot be read. */
function linesOf({ rows }: Dump): readonly number[] {
  return [...rows.keys()].filter((row) => rows[row]?.kind === 'record' || rows[row]?.kind === 'broken');
}

function changedBytes(backup: Dump, dump: Dump): ReadonlyMap<number, readonly number[]> {
  const { lines } = compareDumps(backup, dump);
  return new Map(lines.map(({ afterRow, bytes }) => [afterRow, bytes.map(({ byte }) => byte - 1)]));
}

/** The bytes that a problem marks; none where it marks a label, a header or a line that cannot be read. */
function bytesAt(dump: Dump, { row, start, end }: { row: number; start: number; end: number }): readonly number[] {
  const record = dump.rows[row];
  if (record?.kind !== 'record' || end <= start) return [];
  const [first, last] = [byteAtColumn(dump, record, start), byteAtColumn(dump, record, end - 1)];
  return first === undefined || last === undefined ? [] : Array.from({ length: last - first + 1 }, (_, i) => first + i);
}

function lineOf(
  dump: Dump,
  row: number,
  roles: readonly RoleRun[],
  changed: readonly number[],
  wrong: readonly number[],
): OverviewLine {
  const record = dump.rows[row];
  const address = addressOf(dump.layout, { row, byte: 0 });
  const head = { label: nameOf(dump, row, address), ...(address !== undefined && { address }) };
  if (record?.kind !== 'record') return { ...head, digits: '', roles: '', signs: '' };
  const bytes = Array.from({ length: record.count }, (_, byte) => byte);
  const sign = (byte: number) =>
    wrong.includes(byte) ? (changed.includes(byte) ? 'x' : 'w') : changed.includes(byte) ? 'c' : '.';
  return {
    ...head,
    digits: hexBytes(bytesOf(record)),
    roles: bytes.map((byte) => letterOf(roles, byte)).join(''),
    signs: bytes.map(sign).join(''),
  };
}

/** What a row is called: rows of an image by their address, lines as they are written, as the words about their bytes do. */
function nameOf(dump: Dump, row: number, address: number | undefined): string {
  const { layout, rows } = dump;
  if (address !== undefined) return hex(address, 8);
  if (layout.kind !== 'image' && labelOfRow(rows[row]) !== undefined) return lineCalled(dump, row);
  return rows[row]?.kind === 'broken' ? '?' : '–';
}

/** Of the two digits of a byte, the one that is more than data says what the byte is for. */
function letterOf(runs: readonly RoleRun[], byte: number): string {
  const over = runs.filter(({ from, to }) => from < 2 * byte + 2 && to > 2 * byte);
  return (over.find(({ role }) => role !== 'data') ?? over[0])?.role.charAt(0) ?? 'd';
}
