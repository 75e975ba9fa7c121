import { getNodePath, getNodeValue, type JSONPath, type Node } from 'jsonc-parser';
import { type Phrase, phrase } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';
import { type Bases, EXTENDS } from './extends.js';
import { readJson } from './json.js';
import { keepComments } from './mergeComments.js';
import { contradictions } from './mergeContradictions.js';
import {
  calledIn,
  changedApart,
  childOf,
  entriesOf,
  isInOrder,
  isSame,
  isSameSample,
  type Path,
  plainText,
  type Three,
} from './mergeEntries.js';
import { AT_END, afterSteps, type Step } from './mergeSteps.js';
import { MOVING_PLACE_KEYS } from './readPlace.js';
import { readProfile } from './readProfile.js';
import { sorted } from './sortedText.js';

/** One text of a profile. */
export interface Version {
  /** What people call its file. */
  readonly name: string;
  readonly text: string;
  /** The profiles that it extends, where somebody looked for them. */
  readonly bases?: Bases | undefined;
}

/** What somebody has made of a profile, what somebody else has, and what both began with: an empty text where that is nothing. */
export interface Versions {
  readonly mine: Version;
  readonly theirs: Version;
  readonly base: Version;
}

/** Two profiles as one, or what a person has to decide first: then there is no text. */
export type Merged =
  | { readonly text: string; readonly conflicts: readonly [] }
  | { readonly text: undefined; readonly conflicts: readonly Phrase[] };

/**
 * Merges what two people have made of one profile: options by their ids, other entries by their places or names, rules as
 * wholes, and all else key by key. Nothing that both have changed in different ways is decided here, and nothing is merged
 * where one of the three has a problem. Layout is that of `mine`; comments of both are kept.
 */
export function mergeProfiles({ mine, theirs, base }: Versions): Result<Merged> {
  const isNew = base.text.trim() === '';
  const readings = {
    mine: readProfile(mine.text, mine.bases),
    theirs: readProfile(theirs.text, theirs.bases),
    base: readProfile(base.text, base.bases),
  };
  const versions = { mine, theirs, base };
  for (const which of ['mine', 'theirs', ...(isNew ? [] : (['base'] as const))] as const) {
    const [problem] = readings[which].problems;
    if (problem !== undefined)
      return refuse(phrase('{0} has problems; correct them first. {1}', versions[which].name, problem.message));
  }
  const [here, there, before] = [mine, theirs, base].map(({ text }) => readJson(text).root?.node);
  const outcome: Outcome = { theirs: theirs.text, conflicts: [], steps: [] };
  mergeValue({ mine: here, theirs: there, base: before }, [], [], outcome);
  const { text, homeless } = keepComments(afterSteps(mine.text, outcome.steps), versions);
  const isExtendedAsMine = isSame(childOf(readJson(text).root?.node, EXTENDS), childOf(here, EXTENDS));
  const merged = readProfile(text, isExtendedAsMine ? mine.bases : theirs.bases);
  const conflicts =
    outcome.conflicts.length > 0 ? outcome.conflicts : [...homeless, ...contradictions({ merged, ...readings })];
  return done(conflicts.length > 0 ? { text: undefined, conflicts } : { text, conflicts: [] });
}

interface Outcome {
  /** The text of theirs. */
  readonly theirs: string;
  readonly conflicts: Phrase[];
  readonly steps: Step[];
}

/** `at` is where mine has the value, or would have it. */
function mergeValue(three: Three, path: Path, at: JSONPath, outcome: Outcome): void {
  const { mine, theirs, base } = three;
  if (isSame(mine, theirs) || isSame(theirs, base) || isSameSample(path, three)) return;
  const sides = [mine, theirs, ...(base === undefined ? [] : [base])];
  const isUnchanged = isSame(mine, base);
  // Balance places are tried in their order; of other lists it is that of mine, unless all is theirs.
  const isOrderLost =
    (isUnchanged || path[0] === 'balance') && !isInOrder(path, theirs, base) && !isInOrder(path, theirs, mine);
  const isList = sides.every((list) => entriesOf(path, list) !== undefined);
  const isObject = sides.every((one) => one?.type === 'object') && (base !== undefined || isJoined(path));
  if (isList && !isOrderLost) mergeList(three, path, outcome);
  else if (isObject) mergeObject(three, path, outcome);
  else if (isUnchanged)
    outcome.steps.push({ at, value: theirs && outcome.theirs.slice(theirs.offset, theirs.offset + theirs.length) });
  else outcome.conflicts.push(bothChanged(path, mine, theirs));
}

/** What is merged key by key even where both have added it: the profile, and what is expected of one dump. */
function isJoined(path: Path): boolean {
  return path.length === 0 || (path[0] === 'samples' && path.length <= 3);
}

function mergeObject(three: Three, path: Path, outcome: Outcome): void {
  const at = (key: string): Three => ({
    mine: childOf(three.mine, key),
    theirs: childOf(three.theirs, key),
    base: childOf(three.base, key),
  });
  const changedBy = (who: 'mine' | 'theirs', keys: readonly string[]) =>
    keys.some((key) => !isSame(at(key)[who], at(key).base));
  if (isOption(path)) {
    const [moved, meaning] = [OPTION_PLACE, MEANING];
    const apart = moved.some((key) => !isSame(at(key).mine, at(key).theirs));
    if (apart && changedBy('mine', moved) && changedBy('theirs', moved)) {
      outcome.conflicts.push(phrase('{0}: the same meaning at two places: both have moved it.', nameOf(path)));
      return;
    }
    const [here, there] = [changedBy('mine', moved), changedBy('theirs', moved)];
    if (apart && ((here && changedBy('theirs', meaning)) || (there && changedBy('mine', meaning)))) {
      outcome.conflicts.push(
        phrase('{0}: one has moved it and the other has changed what its values mean.', nameOf(path)),
      );
      return;
    }
    const [own, other] = (['mine', 'theirs'] as const).map((who) =>
      STORED.filter((key) => changedBy(who, [key]) && !isSame(at(key).mine, at(key).theirs)),
    );
    if (own?.length && other?.length && new Set([...own, ...other]).size > 1) {
      outcome.conflicts.push(
        phrase(
          '{0}: one has changed "{1}" and the other "{2}", which together nobody has tried.',
          nameOf(path),
          own[0] ?? '',
          other.find((key) => key !== own[0]) ?? other[0] ?? '',
        ),
      );
      return;
    }
  }
  const keys = [...new Set([three.mine, three.theirs, three.base].flatMap(keysOf))];
  const rule = isRule(path) ? keys.filter((key) => !REMARKS.includes(key) && !CLAIMS.includes(key)) : [];
  if (
    rule.some((key) => !isSame(at(key).mine, at(key).theirs)) &&
    changedBy('mine', rule) &&
    changedBy('theirs', rule)
  ) {
    outcome.conflicts.push(bothChanged(path, three.mine, three.theirs));
    return;
  }
  const said = isOption(path) ? [...OPTION_PLACE, ...MEANING] : rule;
  const isOther = said.some((key) => !isSame(at(key).mine, at(key).theirs));
  if (
    isOther &&
    ((changedBy('mine', CLAIMS) && changedBy('theirs', said)) ||
      (changedBy('theirs', CLAIMS) && changedBy('mine', said)))
  ) {
    outcome.conflicts.push(
      phrase(
        '{0}: one has changed it and the other how sure it is, which may not be so of what it is now.',
        nameOf(path),
      ),
    );
    return;
  }
  if (path.length === 0) outcome.conflicts.push(...halfRules(three, changedBy), ...untriedSamples(three));
  const own = three.mine === undefined ? [] : getNodePath(three.mine);
  for (const key of keys) mergeValue(at(key), [...path, key], [...own, key], outcome);
}

function mergeList({ mine, theirs, base }: Three, path: Path, outcome: Outcome): void {
  const [own, other, old] = [mine, theirs, base].map((list) => entriesOf(path, list) ?? new Map<string, Node>());
  const entries = new Set([own, other, old].flatMap((map) => [...(map?.keys() ?? [])]));
  const all = [...entries].map((entry) => {
    const three = { mine: own?.get(entry), theirs: other?.get(entry), base: old?.get(entry) };
    return { ...three, path: [...path, { entry, called: calledIn(path, three) }] };
  });
  const apart = changedApart(path, all);
  const list = mine === undefined ? [] : getNodePath(mine);
  if (apart === undefined)
    for (const { path: way, ...three } of all)
      mergeValue(three, way, three.mine === undefined ? [...list, AT_END] : getNodePath(three.mine), outcome);
  else
    outcome.conflicts.push(
      phrase('{0} and {1} share bytes, and each has changed one of them.', ...apart.map((one) => nameOf(one.path))),
    );
}

const OPTION_PLACE = [...MOVING_PLACE_KEYS, 'bits', 'order', 'reversed', 'swapped', 'repeat'];
const MEANING = ['values', 'number', 'text', 'flags', 'date', 'coding', 'special', 'pad'];

/** How the value of an option is stored: one rule in several keys. */
const STORED = MEANING.filter((key) => key !== 'values');

/** Objects whose keys make one rule: of two changes to one, both together are a rule that nobody has written. */
const RULES = ['lineSum', 'lines', 'addresses', 'notation', 'word'];
const RULE_LISTS = ['totals', 'locked', 'volatile', 'balance', 'copies', 'slots'];
const RULES_OF_OPTIONS = ['number', 'text', 'date', 'repeat'];

/** What people say of a rule, which changes nothing that it means. */
const REMARKS = ['title', 'name', 'note', 'why'];

/** How sure a rule is, and why: said of what it was when they said it. */
const CLAIMS = ['evidence', 'confidence', 'seen'];

/** How lines are read and what their sums run over: one rule in several keys. */
const LINE_RULE = ['notation', 'word', 'lines', 'addresses', 'module', 'lineSum'];

/** The rule of the lines where each has changed another part of it: both together are a rule that nobody has written. */
function halfRules(
  three: Three,
  changedBy: (who: 'mine' | 'theirs', keys: readonly string[]) => boolean,
): readonly Phrase[] {
  if (three.base === undefined)
    return LINE_RULE.flatMap((key) => {
      const [mine, theirs] = [childOf(three.mine, key), childOf(three.theirs, key)];
      return (mine === undefined) === (theirs === undefined) ? [] : bothChanged([key], mine, theirs);
    });
  const isWritten = (key: string, who: 'mine' | 'theirs') => {
    const [now, then] = [three[who], three.base].map((node) => substance(childOf(node, key)));
    return changedBy(who, [key]) && now !== then;
  };
  const [mine, theirs] = (['mine', 'theirs'] as const).map((who) => LINE_RULE.filter((key) => isWritten(key, who)));
  const [own] = mine?.filter((key) => !theirs?.includes(key)) ?? [];
  const [other] = theirs?.filter((key) => !mine?.includes(key)) ?? [];
  const isBoth = (own !== undefined && theirs?.length) || (other !== undefined && mine?.length);
  return isBoth ? [untried(own ?? mine?.[0] ?? '', other ?? theirs?.[0] ?? '')] : [];
}

function untried(one: string, other: string): Phrase {
  return phrase(
    'The rule of the lines: one has changed "{0}" and the other "{1}", which together nobody has tried.',
    one,
    other,
  );
}

/** Samples of one side where the other has changed what they show: they may no longer fit. */
function untriedSamples({ mine, theirs, base }: Three): readonly Phrase[] {
  const samplesOf = (side: Node | undefined) => entriesOf(['samples'], childOf(side, 'samples'))?.keys() ?? [];
  for (const [one, other] of [
    [mine, theirs],
    [theirs, mine],
  ]) {
    const known = new Set([...samplesOf(one), ...samplesOf(base)]);
    const changed = [...LINE_RULE, 'totals', 'copies', 'slots'].find((key) => {
      const [now, there, then] = [one, other, base].map((side) => substance(childOf(side, key)));
      return now !== there && now !== then;
    });
    if (changed !== undefined && [...samplesOf(other)].some((name) => !known.has(name)))
      return [untried(changed, 'samples')];
  }
  return [];
}

/** What a value or a list of values means, without what people say of it. */
function substance(node: Node | undefined): string {
  if (node?.type === 'array') return `[${(node.children ?? []).map(substance).join(', ')}]`;
  const value: unknown = node && getNodeValue(node);
  if (typeof value !== 'object' || value === null) return sorted(value ?? null);
  return sorted(Object.fromEntries(Object.entries(value).filter(([key]) => ![...REMARKS, ...CLAIMS].includes(key))));
}

function isRule(path: Path): boolean {
  const [key, , below] = path;
  if (typeof key !== 'string') return false;
  if (path.length === 1) return RULES.includes(key);
  if (path.length === 2) return RULE_LISTS.includes(key);
  return path.length === 3 && key === 'options' && typeof below === 'string' && RULES_OF_OPTIONS.includes(below);
}

function isOption(path: Path): boolean {
  return path.length === 2 && path[0] === 'options';
}

function keysOf(node: Node | undefined): readonly string[] {
  return (node?.children ?? []).map(({ children }) => String(children?.[0]?.value));
}

function nameOf(path: Path): string {
  return path.map((part) => (typeof part === 'string' ? part : `(${part.called})`)).join(' ');
}

function bothChanged(path: Path, mine: Node | undefined, theirs: Node | undefined): Phrase {
  const inWords = (node: Node | undefined) => (node === undefined ? phrase('nothing') : plainText(node));
  return phrase('{0}: both have changed it. Mine: {1}; theirs: {2}.', nameOf(path), inWords(mine), inWords(theirs));
}
