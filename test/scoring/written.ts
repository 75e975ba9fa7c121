import { hex } from '../../shared-core/src/base/hex.js';
import { say } from '../../shared-core/src/base/phrase.js';
import { checkDump } from '../../shared-core/src/checks/checkDump.js';
import { learn } from '../../shared-core/src/learn/learn.js';
import { bindText } from '../../shared-core/src/model/dump.js';
import { readProfile } from '../../shared-core/src/profile/readProfile.js';
import { loaded } from '../support/loaded.js';
import { below, type Drafts } from './draftsRead.js';
import type { Next, Writer, Written } from './writtenTexts.js';

/**
 * `right`: the draft reads the text and another of its kind, and finds each changed byte that a sum covers. `undecided`:
 * it says that it does not know. `none`: no draft. `wrong`: it is sure, and fails.
 */
export type WrittenOutcome = 'right' | 'undecided' | 'none' | 'wrong';

export interface WrittenScore {
  readonly outcome: WrittenOutcome;
  readonly why: string;
}

export interface DamagedScore extends WrittenScore {
  readonly drafts: Drafts;
}

/** More likely by accident than this, and a draft does not claim to be right. */
const SURE = 1e-6;

export function scoreWritten({ write }: Writer, next: Next): WrittenScore {
  const [one, other] = [write(), write()];
  const { candidates } = learn([{ name: 'one.txt', text: one.text }]);
  const [best] = candidates;
  if (best === undefined) return { outcome: 'none', why: '' };
  const why = whyWrong(JSON.stringify(best.profile), one, other, next);
  const isSure =
    best.unread.length === 0 &&
    best.chance <= SURE &&
    !candidates.some(({ undecided }) => undecided) &&
    best.linesExplained > 0;
  if (why === undefined && best.linesExplained > 0) return { outcome: 'right', why: '' };
  return { outcome: isSure ? 'wrong' : 'undecided', why: why ?? 'no line explained' };
}

/** What is wrong with a draft of a text: in itself, with its own text, with another one, or with a changed byte. */
export function whyWrong(profile: string, one: Written, other: Written, next: Next): string | undefined {
  const reading = readProfile(profile);
  const [first] = reading.problems;
  if (first !== undefined) return `profile: ${say(first.message)} in ${profile}`;
  const problemsOf = (text: string) =>
    checkDump(loaded(bindText('one.txt', text, reading.profile), { kind: 'read' }, { kind: 'none' })).filter(
      // That a heading with numbers in it is not read is said of it, and true.
      ({ code, severity }) => code !== 'line-not-read' && (severity === 'error' || severity === 'warning'),
    );
  for (const { text } of [one, other]) {
    const [problem] = problemsOf(text);
    if (problem !== undefined) return `${problem.code}: ${say(problem.message)} in ${profile}`;
    const dump = bindText('one.txt', text, reading.profile);
    if (dump.layout.order.length !== one.dataRows.length)
      return `${dump.layout.order.length} of ${one.dataRows.length} lines read by ${profile}`;
  }
  const dump = bindText('one.txt', other.text, reading.profile);
  for (let i = 0; i < 8; i++) {
    const at = other.dataRows[next(other.dataRows.length)] as number;
    const row = dump.rows[at];
    if (row?.kind !== 'record') return `row ${at + 1} is no record by ${profile}`;
    const places = dump.notation.digitPlaces(row);
    // The third byte is one that the sum covers in all kinds.
    const byte = 2;
    const place = places[2 * byte + 1] as number;
    const digit = (Number.parseInt(row.text.charAt(place), 16) + 1 + next(14)) % 16;
    const changed = row.text.slice(0, place) + hex(digit, 1) + row.text.slice(place + 1);
    const text = dump.rows.map((line, j) => (j === at ? changed : line.text)).join('');
    if (problemsOf(text).length === 0) return `a changed byte in row ${at + 1} is not found by ${profile}`;
  }
  return undefined;
}

/** Damage as copying does it: a digit too few, a byte too few, or the end of the line lost. */
const DAMAGE: readonly ((line: string, next: Next) => string)[] = [
  (line, next) => withoutStretch(line, digitsOf(line), 1, next),
  (line, next) =>
    withoutStretch(line, [...line.matchAll(/[0-9A-F]{2}(?=[\s,;])/g)].map(({ index }) => index).slice(3), 2, next),
  (line, next) => line.slice(0, Math.floor(line.length / 2) + next(Math.floor(line.length / 4))),
];

/** Places of digits in the middle of a line, which are of its bytes. */
function digitsOf(line: string): readonly number[] {
  return [...line.matchAll(/[0-9A-F]/g)]
    .map(({ index }) => index)
    .filter((at) => at > line.length / 3 && at < line.length / 2);
}

function withoutStretch(line: string, places: readonly number[], count: number, next: Next): string {
  const at = places[next(places.length)] ?? Math.floor(line.length / 2);
  return line.slice(0, at) + line.slice(at + count);
}

/** A text with two damaged lines, and which rows they are. */
export function damaged(
  { text, dataRows }: Written,
  next: Next,
): { readonly text: string; readonly rows: readonly number[] } {
  const lines = text.split('\n');
  const rows = [3, 9].map((at) => dataRows[at + next(3)] as number);
  for (const row of rows) lines[row] = (DAMAGE[next(DAMAGE.length)] as (typeof DAMAGE)[0])(lines[row] as string, next);
  return { text: lines.join('\n'), rows };
}

/**
 * Learns from a text with two damaged lines, which may be below headers: each must be named, and the draft must be right for
 * another text.
 */
export function scoreDamaged({ write }: Writer, next: Next, headers: readonly string[] = []): DamagedScore {
  const [one, other] = [write(), write()];
  const { text, rows } = damaged(one, next);
  const texts = [{ name: 'one.txt', text: below(headers, text) }];
  const { candidates } = learn(texts);
  const drafts = { texts, candidates };
  const [best] = candidates;
  if (best === undefined) return { outcome: 'none', why: '', drafts };
  const named = new Set(best.unread.map(({ row }) => row - 1 - headers.length));
  const profile = JSON.stringify(best.profile);
  const silent = rows.filter((row) => !named.has(row));
  // A line that can be read and whose sum is wrong is called damaged.
  if (silent.length > best.damaged.length) {
    const lines = text.split('\n');
    return {
      outcome: 'wrong',
      why: `rows ${silent.map((row) => `${row + 1}: ${lines[row]}`)} not named, by ${profile}`,
      drafts,
    };
  }
  const why = whyWrong(profile, other, other, next);
  return { outcome: why === undefined ? 'right' : 'undecided', why: why ?? '', drafts };
}
