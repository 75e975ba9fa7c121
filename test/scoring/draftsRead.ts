import { say } from '../../shared-core/src/base/phrase.js';
import type { LearnCandidate } from '../../shared-core/src/learn/learning.js';
import { accountOf, unreadRows } from '../../shared-core/src/model/account.js';
import { bindText, type Dump } from '../../shared-core/src/model/dump.js';
import { readProfile } from '../../shared-core/src/profile/readProfile.js';

export interface NamedText {
  readonly name: string;
  readonly text: string;
}

/** Texts, and the drafts that were learned from them. */
export interface Drafts {
  readonly texts: readonly NamedText[];
  readonly candidates: readonly LearnCandidate[];
}

/** Headers as a person puts them above a dump, one of them with hex digits that could be bytes. */
export const HEADERS = [
  '@vehicle green van',
  '@software 03 A0 11 22 33 44 55 66',
  '@note 7: 01 02 03 04 05 06 07 08',
] as const;

/** A text below headers. */
export const below = (headers: readonly string[], text: string) => [...headers, text].join('\n');

/**
 * What one of all drafts of some texts below these headers says otherwise, when these texts are read by it, than learning did:
 * which lines are headers, how many lines were not read or have a wrong sum, how many are right, and whether the file sum is.
 */
export function whyReadOtherwise({ texts, candidates }: Drafts): string | undefined {
  for (const { profile, unread, unmarked, lines, linesExplained, totalExplained } of candidates) {
    const json = JSON.stringify(profile);
    const reading = readProfile(json);
    const [problem] = reading.problems;
    if (problem !== undefined) return `${say(problem.message)} in ${json}`;
    const dumps = texts.map(({ name, text }) => bindText(name, text, reading.profile));
    const why = (what: string, found: unknown, said: unknown) =>
      `${what}: ${JSON.stringify(found)} and not ${JSON.stringify(said)}, by ${json}`;
    const namesOf = (rowsOf: (dump: Dump) => readonly number[]) =>
      dumps.flatMap((dump, i) => rowsOf(dump).map((row) => `${texts[i]?.name} ${row + 1}`));
    for (const dump of dumps) {
      const headers = dump.headers.map((row) => dump.rows[row]?.text.trimEnd());
      if (headers.join('\n') !== HEADERS.join('\n')) return why('headers', headers, HEADERS);
    }
    const named = new Set([...unread, ...unmarked].map(({ name, row }) => `${name} ${row}`));
    const inDoubt = new Set(namesOf((dump) => [...unreadRows(dump), ...dump.wrongLengths, ...dump.wrongSums]));
    const silent = [...named].filter((row) => !inDoubt.has(row));
    if (silent.length > 0) return why('read, though learning did not', silent, []);
    const left = namesOf(unreadRows).filter((row) => !named.has(row));
    if (left.length > 0) return why('not read, though learning did', left, []);
    const hasRule = reading.profile.lineSum !== undefined;
    // Lines that are alike in two dumps count once, as they do in learning.
    const textOf = new Map<string, string>(
      dumps.flatMap(({ rows }, i) =>
        rows.map(({ text }, row) => [`${texts[i]?.name} ${row + 1}`, text.trim()] as const),
      ),
    );
    const wrong = new Set([...inDoubt].filter((row) => !named.has(row)).map((row) => textOf.get(row))).size;
    if (hasRule && wrong !== lines - linesExplained) return why('wrong lines', wrong, lines - linesExplained);
    const accounts = dumps.map(accountOf);
    const right = accounts.reduce((sum, { lineSums }) => sum + (lineSums?.right ?? 0), 0);
    if (right < linesExplained) return why('right lines', right, linesExplained);
    const isRight = accounts.every(({ totals }) => totals.all > 0 && totals.right === totals.all);
    // A dump with a damaged line has no right file sum.
    if (totalExplained === true && wrong + named.size === 0 && !isRight)
      return why('file sum', isRight, totalExplained);
  }
  return undefined;
}
