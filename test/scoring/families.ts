import { hex } from '../../shared-core/src/base/hex.js';
import { say } from '../../shared-core/src/base/phrase.js';
import { checkDump } from '../../shared-core/src/checks/checkDump.js';
import { learn } from '../../shared-core/src/learn/learn.js';
import type { LearnCandidate } from '../../shared-core/src/learn/learning.js';
import { bindText } from '../../shared-core/src/model/dump.js';
import type { Profile } from '../../shared-core/src/profile/profile.js';
import { readProfile } from '../../shared-core/src/profile/readProfile.js';
import { loaded } from '../support/loaded.js';
import { below, type Drafts } from './draftsRead.js';
import type { FamilyKind, ModuleFamily } from './moduleFamilies.js';
import type { Next } from './writtenTexts.js';

/**
 * What the best draft of a family is worth. `right`: it finds no fault in dumps that it has not seen, and every rule of
 * the family is in it. `part`: what it says is right, and it does not know all. `doubted`: it is not right, and says that
 * it does not know. `wrong`: it is not right, and does not say so.
 */
export type FamilyOutcome = 'right' | 'part' | 'doubted' | 'wrong';

/** What is stated with a chance. */
export interface Stated {
  readonly chance: number;
  readonly isRight: boolean;
}

export interface FamilyScore {
  readonly outcome: FamilyOutcome;
  /** The chance that is stated, and whether what is stated is right; undefined where nothing is, or it is called undecided. */
  readonly stated: Stated | undefined;
  readonly why: string;
  readonly drafts: Drafts;
}

/** What is said to be less likely an accident than this, and is not called a guess, is taken for known. */
const TAKEN_FOR_KNOWN = 1e-3;
const UNSEEN = 3;

/** Learns from dumps of a family, which may be below headers, and judges the best draft. */
export function scoreFamily(family: ModuleFamily, next: Next, headers: readonly string[] = []): FamilyScore {
  const texts = Array.from({ length: family.dumps }, (_, i) => ({ name: `${i + 1}.txt`, text: family.write() }));
  const [first, ...others] = texts;
  if (first === undefined) throw new Error('A family has dumps.');
  const damagedText = { ...first, text: withDamage(first.text, family.kind, next) };
  const given = [damagedText, ...others].map(({ name, text }) => ({ name, text: below(headers, text) }));
  const { candidates } = learn(given);
  return { ...scoreOf(candidates, family), drafts: { texts: given, candidates } };
}

function scoreOf(candidates: readonly LearnCandidate[], family: ModuleFamily): Omit<FamilyScore, 'drafts'> {
  const [best] = candidates;
  if (best === undefined)
    return {
      outcome: family.hasLineSum || family.hasTotal ? 'part' : 'right',
      stated: undefined,
      why: 'nothing learned',
    };
  const unread = candidates.map(({ profile }) => readProfile(JSON.stringify(profile)).problems[0]).find(Boolean);
  if (unread !== undefined)
    return { outcome: 'wrong', stated: undefined, why: `the reader refuses a draft: ${say(unread.message)}` };
  const isUndecided = candidates.some(({ undecided }) => undecided);
  const profile = readProfile(JSON.stringify(best.profile)).profile;
  const why = whyNotRight(best, profile, family);
  const isDoubted = isUndecided || best.chance > TAKEN_FOR_KNOWN || isGuess(best);
  const stated = isUndecided ? undefined : { chance: best.chance, isRight: why === undefined };
  if (why !== undefined) return { outcome: isDoubted ? 'doubted' : 'wrong', stated, why };
  const isWhole =
    (!family.hasLineSum || profile.lineSum !== undefined) && (!family.hasTotal || profile.totals.length > 0);
  return { outcome: isWhole && !isUndecided ? 'right' : 'part', stated, why: isWhole ? '' : 'not all found' };
}

function isGuess({ profile }: LearnCandidate): boolean {
  return (profile.totals ?? []).some((total) => 'confidence' in total);
}

/** What is wrong with a draft: it finds a fault in a dump that has none, or speaks of a sum where there is none. */
function whyNotRight(best: LearnCandidate, profile: Profile, family: ModuleFamily): string | undefined {
  const draft = JSON.stringify(best.profile);
  if (profile.totals.length > 0 && !family.hasTotal) return `an invented file sum: ${draft}`;
  if (profile.lineSum !== undefined && !family.hasLineSum) return `an invented line sum: ${draft}`;
  for (let i = 0; i < UNSEEN; i++) {
    const dump = bindText('unseen.txt', family.write(), profile);
    const [problem] = checkDump(loaded(dump, { kind: 'read' }, { kind: 'none' })).filter(
      // That a line with a word for a label is not in the draft is said of it, and true.
      ({ code, severity }) => code !== 'line-unknown' && (severity === 'error' || severity === 'warning'),
    );
    if (problem !== undefined) return `${problem.code}: ${say(problem.message)} by ${draft}`;
  }
  return undefined;
}

/** A text with a changed digit in one line, in families of which that is the point. */
function withDamage(text: string, kind: FamilyKind, next: Next): string {
  if (kind !== 'one damaged line, no total') return text;
  const rows = text.split('\n');
  const at = next(rows.length - 2);
  const row = rows[at] as string;
  const digit = row.indexOf(': ') + 2 + 3 * next(5);
  const other = (Number.parseInt(row.charAt(digit), 16) + 1 + next(14)) % 16;
  rows[at] = row.slice(0, digit) + hex(other, 1) + row.slice(digit + 1);
  return rows.join('\n');
}
