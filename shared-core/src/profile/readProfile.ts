import { phrase } from '../base/phrase.js';
import { dumpText } from '../format/dumpText.js';
import { withFrontSum } from '../format/frontSum.js';
import { inWords } from '../format/inWords.js';
import type { Notation } from '../format/notation.js';
import { withTotalLines } from '../format/totalLines.js';
import { contradictions } from './contradictions.js';
import { type Bases, type Chain, EXTENDS, overBases, toldIn } from './extends.js';
import {
  type JsonValue,
  knownKeys,
  member,
  missing,
  type ProfileProblem,
  readJson,
  text,
  whole,
  wholeOf,
  wrong,
} from './json.js';
import { sumBytes } from './lineLabels.js';
import type { Geometry, Profile, ProfileFlaw, Total } from './profile.js';
import { readAppliesTo } from './readAppliesTo.js';
import { readCopies } from './readCopies.js';
import { readGeometry, readNotation } from './readGeometry.js';
import { hasFrontSum, readLineSum } from './readLineSum.js';
import { idsOf, readOptions } from './readOptions.js';
import { readAbsent, readBalance, readLocked, readRegions } from './readRegions.js';
import { readSamples } from './readSamples.js';
import { readSlots } from './readSlots.js';
import { readTotals } from './readTotals.js';
import { readWord } from './readWord.js';

const KEYS = [
  '$schema',
  'format',
  EXTENDS,
  'title',
  'module',
  'notation',
  'word',
  'appliesTo',
  'lines',
  'addresses',
  'absent',
  'lineSum',
  'totals',
  'balance',
  'options',
  'locked',
  'volatile',
  'copies',
  'slots',
  'samples',
];

/** A profile that explains nothing: what a dump without one is bound to. */
export const EMPTY_PROFILE: Profile = {
  title: undefined,
  module: undefined,
  notation: undefined,
  word: undefined,
  geometry: undefined,
  lineSum: undefined,
  totals: [],
  balance: [],
  options: [],
  locked: [],
  volatile: [],
  copies: [],
  slots: [],
  absent: [],
  appliesTo: undefined,
  samples: [],
  flaw: undefined,
};

export interface ProfileReading {
  /** What could be understood; parts with problems are left out. */
  readonly profile: Profile;
  readonly problems: readonly ProfileProblem[];
  /** The profiles that it extends; undefined where it extends none. */
  readonly chain: Chain | undefined;
}

/**
 * Reads a profile over those that it extends (`bases`, where somebody looked for them). Any text gives a profile and a list
 * of problems; nothing throws.
 */
export function readProfile(source: string, bases?: Bases): ProfileReading {
  const { root: own, problems } = readJson(source);
  if (own === undefined) return unread(problems, undefined);
  const { root, chain } = overBases(own, bases);
  if (root === undefined)
    return unread(
      problems.slice(-1).map((problem) => ({ ...problem, code: 'profile-unreadable' })),
      chain,
    );
  knownKeys(root, KEYS);
  checkFormat(root);
  text(member(root, '$schema'));
  const geometry = readGeometry(root);
  // Without the geometry that was meant, sums would run over other bytes: there are none then.
  const isUnclear = geometry === undefined && (member(root, 'lines') ?? member(root, 'addresses')) !== undefined;
  const module = whole(member(root, 'module'), 0, 0xffff);
  const front = hasFrontSum(root);
  const totals = isUnclear ? [] : readTotals(member(root, 'totals'), geometry);
  const notation = readNotation(root, geometry);
  const word = readWord(member(root, 'word'), geometry, notation);
  const slots = readSlots(member(root, 'slots'), geometry);
  const appliesTo = readAppliesTo(member(root, 'appliesTo'));
  const profile: Profile = {
    // What is extended comes before what extends it.
    ...(chain !== undefined && { bases: chain.bases.map(({ file }) => file).reverse() }),
    title: text(member(root, 'title')),
    module,
    notation: asWritten(notation && inWords(notation, word), geometry, totals, front),
    word,
    geometry,
    lineSum: isUnclear ? undefined : readLineSum(root, geometry, { module, front }),
    totals,
    balance: readBalance(member(root, 'balance'), geometry, slots),
    options: readOptions(member(root, 'options'), geometry, slots, appliesTo),
    locked: readLocked(member(root, 'locked'), geometry, slots),
    volatile: readRegions(member(root, 'volatile'), geometry, slots),
    copies: readCopies(member(root, 'copies'), geometry),
    slots: slots.flatMap((one) => one.slots ?? []),
    absent: readAbsent(member(root, 'absent'), geometry),
    appliesTo,
    samples: readSamples(member(root, 'samples'), idsOf(member(root, 'options'))),
    flaw: undefined,
  };
  const found = contradictions(profile, idsOf(member(root, 'options')), problems);
  const told = [...toldIn(chain, problems)].sort((a, b) => a.span.start - b.span.start);
  return { profile: { ...found, flaw: flawOf(told) }, problems: told, chain };
}

/** Nothing, where a part may be lost in which places are locked. */
function unread(problems: readonly ProfileProblem[], chain: Chain | undefined): ProfileReading {
  return { profile: { ...EMPTY_PROFILE, flaw: flawOf(problems) }, problems, chain };
}

/** The notation with what the sums say of how their lines are written. */
function asWritten(
  notation: Notation | undefined,
  geometry: Geometry | undefined,
  totals: readonly Total[],
  isFront: boolean,
): Notation | undefined {
  const lines = totals.flatMap(({ line }) => line ?? []);
  if ((lines.length === 0 && !isFront) || notation?.image !== undefined) return notation;
  const base = notation ?? dumpText;
  const front = isFront && geometry?.kind === 'lines' ? withFrontSum(base, (label) => sumBytes(geometry, label)) : base;
  return lines.length > 0 ? withTotalLines(front, lines) : front;
}

function flawOf(problems: readonly ProfileProblem[]): ProfileFlaw | undefined {
  const [first] = problems;
  return first && { first: first.message, span: first.there ?? first.span, count: problems.length };
}

function checkFormat(root: JsonValue): void {
  const format = member(root, 'format');
  if (format === undefined) missing(root, phrase('"format": 1 is missing.'));
  else if (wholeOf(format.node.value) !== 1)
    wrong(format, phrase('This form of profile is not known here; "format" is 1.'));
}
