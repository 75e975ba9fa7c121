import { findNodeAtLocation, getNodeValue, type Node } from 'jsonc-parser';
import { type Phrase, phrase, say } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';
import { readJson } from './json.js';
import { shareBits } from './places.js';
import type { Option } from './profile.js';
import { appended, editedProfile, removedChild } from './profileText.js';
import { MOVING_PLACE_KEYS } from './readPlace.js';
import { type ProfileReading, readProfile } from './readProfile.js';

/** Two profiles as one, or what a person has to decide first: then there is no text. */
export type Merged =
  | { readonly text: string; readonly conflicts: readonly [] }
  | { readonly text: undefined; readonly conflicts: readonly Phrase[] };

/** Three texts of one profile: what somebody has made of it, what somebody else has, and what both began with. */
export interface ThreeTexts {
  readonly mine: string;
  readonly theirs: string;
  readonly base: string;
}

/**
 * Merges what two people have made of one profile: options by their ids, other entries by their places or names, rules as
 * wholes, and all else key by key. Nothing that both have changed in different ways is decided here. Layout and comments are those of `mine`.
 */
export function mergeProfiles(texts: ThreeTexts): Result<Merged> {
  const roots = {
    mine: readJson(texts.mine).root,
    theirs: readJson(texts.theirs).root,
    base: readJson(texts.base).root,
  };
  for (const [which, root] of Object.entries(roots))
    if (root === undefined) return refuse(phrase('The text of {0} is no JSON object, so nothing is merged.', which));
  const conflicts: Phrase[] = [];
  const steps: Step[] = [];
  mergeValue({ mine: roots.mine?.node, theirs: roots.theirs?.node, base: roots.base?.node }, [], { conflicts, steps });
  const text = steps.reduce((now, step) => stepped(now, step, texts.theirs), texts.mine);
  if (conflicts.length === 0) conflicts.push(...contradictions(text, texts));
  return done(conflicts.length > 0 ? { text: undefined, conflicts } : { text, conflicts: [] });
}

/** A way into a profile: by keys, and of a list by what tells its entries apart. */
type Path = readonly (string | { readonly entry: string })[];

/** A value of theirs that is taken over, or one of mine that goes. */
interface Step {
  readonly path: Path;
  readonly kind: 'take' | 'remove';
}

interface Three {
  readonly mine: Node | undefined;
  readonly theirs: Node | undefined;
  readonly base: Node | undefined;
}

interface Outcome {
  readonly conflicts: Phrase[];
  readonly steps: Step[];
}

function mergeValue(three: Three, path: Path, outcome: Outcome): void {
  const { mine, theirs, base } = three;
  if (isSame(mine, theirs) || isSame(theirs, base)) return;
  if (isSame(mine, base)) {
    outcome.steps.push({ path, kind: theirs === undefined ? 'remove' : 'take' });
    return;
  }
  const lists = [mine, theirs, ...(base === undefined ? [] : [base])].map((list) => entriesOf(path, list));
  if (lists.every((list) => list !== undefined)) mergeList(three, path, outcome);
  else if ([mine, theirs, base].every((one) => one?.type === 'object')) mergeObject(three, path, outcome);
  else outcome.conflicts.push(bothChanged(path, mine, theirs));
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
    const [moved, other] = [OPTION_PLACE, MEANING];
    const apart = moved.some((key) => !isSame(at(key).mine, at(key).theirs));
    if (apart && changedBy('mine', moved) && changedBy('theirs', moved)) {
      outcome.conflicts.push(phrase('{0}: the same meaning at two places: both have moved it.', nameOf(path)));
      return;
    }
    const [here, there] = [changedBy('mine', moved), changedBy('theirs', moved)];
    if (apart && ((here && changedBy('theirs', other)) || (there && changedBy('mine', other)))) {
      outcome.conflicts.push(
        phrase('{0}: one has moved it and the other has changed what its values mean.', nameOf(path)),
      );
      return;
    }
  }
  const keys = [...new Set([three.mine, three.theirs, three.base].flatMap(keysOf))];
  const rule = isRule(path) ? keys.filter((key) => !REMARKS.includes(key)) : [];
  if (
    rule.some((key) => !isSame(at(key).mine, at(key).theirs)) &&
    changedBy('mine', rule) &&
    changedBy('theirs', rule)
  ) {
    outcome.conflicts.push(bothChanged(path, three.mine, three.theirs));
    return;
  }
  for (const key of keys) mergeValue(at(key), [...path, key], outcome);
}

function mergeList({ mine, theirs, base }: Three, path: Path, outcome: Outcome): void {
  const [own, other, old] = [mine, theirs, base].map((list) => entriesOf(path, list) ?? new Map<string, Node>());
  for (const entry of new Set([...(own?.keys() ?? []), ...(other?.keys() ?? []), ...(old?.keys() ?? [])]))
    mergeValue(
      { mine: own?.get(entry), theirs: other?.get(entry), base: old?.get(entry) },
      [...path, { entry }],
      outcome,
    );
}

const OPTION_PLACE = [...MOVING_PLACE_KEYS, 'bits', 'order', 'reversed', 'swapped', 'repeat'];
const MEANING = ['values', 'number', 'text', 'flags', 'date', 'coding', 'special', 'pad'];

/** Objects whose keys make one rule: of two changes to one, both together are a rule that nobody has written. */
const RULES = ['lineSum', 'lines', 'addresses', 'notation', 'word'];
const RULE_LISTS = ['totals', 'locked', 'volatile', 'balance', 'copies', 'slots'];
const RULES_OF_OPTIONS = ['number', 'text', 'date', 'repeat'];

/** What people say of a rule, which changes nothing that it means. */
const REMARKS = ['title', 'name', 'note', 'why', 'evidence', 'confidence'];

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

/** What tells the entries of a list apart, by the key of the list. */
const TELLING: Readonly<Record<string, readonly string[]>> = {
  options: ['id'],
  locked: MOVING_PLACE_KEYS,
  volatile: MOVING_PLACE_KEYS,
  balance: MOVING_PLACE_KEYS,
  absent: MOVING_PLACE_KEYS,
  totals: ['label', 'line', 'byte', 'address'],
  copies: ['name'],
  slots: ['name'],
  samples: ['dump'],
};

/** The entries of a list by what tells them apart; undefined for what is no such list, or has two that are alike. */
function entriesOf(path: Path, list: Node | undefined): ReadonlyMap<string, Node> | undefined {
  const [key, more, below] = path;
  // What both have seen counts, and what is in a list twice counts once.
  if (key === 'options' && below === 'seen' && path.length === 3 && list?.type === 'array')
    return new Map((list.children ?? []).map((entry) => [plainText(entry), entry]));
  const telling = typeof key === 'string' && more === undefined ? TELLING[key] : undefined;
  if (telling === undefined || list?.type !== 'array') return undefined;
  const found = new Map<string, Node>();
  for (const entry of list.children ?? []) {
    const name = telling.flatMap((one) => {
      const value = childOf(entry, one);
      return value === undefined ? [] : `${one} ${plainText(value)}`;
    });
    if (name.length === 0 || found.has(name.join(', '))) return undefined;
    found.set(name.join(', '), entry);
  }
  return found;
}

function childOf(node: Node | undefined, key: string): Node | undefined {
  return node?.type === 'object' ? findNodeAtLocation(node, [key]) : undefined;
}

function keysOf(node: Node | undefined): readonly string[] {
  return (node?.children ?? []).map(({ children }) => String(children?.[0]?.value));
}

function isSame(one: Node | undefined, other: Node | undefined): boolean {
  return one === undefined || other === undefined ? one === other : plainText(one) === plainText(other);
}

/** A value in one spelling, whatever the order of its keys. */
function plainText(node: Node): string {
  return sorted(getNodeValue(node));
}

function sorted(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(sorted).join(', ')}]`;
  if (typeof value !== 'object' || value === null) return JSON.stringify(value);
  const entries = Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1));
  return `{${entries.map(([key, one]) => `${JSON.stringify(key)}: ${sorted(one)}`).join(', ')}}`;
}

function nameOf(path: Path): string {
  return path.map((part) => (typeof part === 'string' ? part : `(${part.entry})`)).join(' ');
}

function bothChanged(path: Path, mine: Node | undefined, theirs: Node | undefined): Phrase {
  const inWords = (node: Node | undefined) => (node === undefined ? phrase('nothing') : plainText(node));
  return phrase('{0}: both have changed it. Mine: {1}; theirs: {2}.', nameOf(path), inWords(mine), inWords(theirs));
}

/** Where a way leads in a text. */
function nodeAt(root: Node | undefined, path: Path): Node | undefined {
  let node = root;
  for (const [i, part] of path.entries())
    node = typeof part === 'string' ? childOf(node, part) : entriesOf(path.slice(0, i), node)?.get(part.entry);
  return node;
}

/** The text of mine after one step. What is taken over is written as theirs has it. */
function stepped(text: string, { path, kind }: Step, theirs: string): string {
  const root = readJson(text).root?.node;
  const [node, parent] = [nodeAt(root, path), nodeAt(root, path.slice(0, -1))];
  if (parent === undefined) return text;
  if (kind === 'remove') {
    const child = parent.type === 'object' ? node?.parent : node;
    return child === undefined ? text : editedProfile(text, [removedChild(text, parent, child)]);
  }
  const taken = nodeAt(readJson(theirs).root?.node, path);
  if (taken === undefined) return text;
  const value = theirs.slice(taken.offset, taken.offset + taken.length);
  if (node !== undefined) return text.slice(0, node.offset) + value + text.slice(node.offset + node.length);
  const key = path.at(-1);
  return editedProfile(
    text,
    appended(text, parent, () => (typeof key === 'string' ? `${JSON.stringify(key)}: ${value}` : value)),
  );
}

/** What does not go together in a merged profile, though each of the two is right by itself. */
function contradictions(text: string, { mine, theirs, base }: ThreeTexts): readonly Phrase[] {
  const [own, other, old] = [readProfile(mine), readProfile(theirs), readProfile(base)];
  const find = ({ profile }: ProfileReading, id: string) => profile.options.find((option) => option.id === id);
  const isIn = (reading: ProfileReading, a: Option, b: Option, isOne: (a: Option, b: Option) => boolean) => {
    const [one, two] = [find(reading, a.id), find(reading, b.id)];
    return one !== undefined && two !== undefined && isOne(one, two);
  };
  /** An option as it is to be, where one of the two has moved or renamed it. */
  const intended = (id: string) => {
    const [now, then, there] = [find(own, id), find(old, id), find(other, id)];
    const isMine = now !== undefined && (then === undefined || placeAndTitle(now) !== placeAndTitle(then));
    return isMine ? now : (there ?? now);
  };
  const ids = (reading: ProfileReading) => reading.profile.options.map(({ id }) => id);
  const conflicts = new Map<string, Phrase>();
  for (const one of ids(own)) {
    for (const two of ids(other)) {
      const [a, b] = [intended(one), intended(two)];
      if (one === two || a === undefined || b === undefined) continue;
      const isNew = (isOne: (a: Option, b: Option) => boolean) =>
        isOne(a, b) && ![own, other].some((reading) => isIn(reading, a, b, isOne));
      const key = [one, two].sort().join(' ');
      if (isNew(shareBits))
        conflicts.set(key, phrase('The same place with two meanings: "{0}" (mine) and "{1}" (theirs).', one, two));
      else if (isNew(haveOneTitle))
        conflicts.set(
          key,
          phrase(
            'The same meaning at two places: "{0}" (mine) and "{1}" (theirs) are both called "{2}".',
            one,
            two,
            a.title,
          ),
        );
    }
  }
  if (conflicts.size > 0) return [...conflicts.values()];
  const before = new Set([own, other].flatMap(({ problems }) => problems.map(({ message }) => say(message))));
  return readProfile(text).problems.flatMap(({ message }) =>
    before.has(say(message)) ? [] : phrase('Together, the two contradict each other: {0}', message),
  );
}

function placeAndTitle({ parts, title }: Option): string {
  return `${sorted(parts)} ${title}`;
}

function haveOneTitle(one: Option, other: Option): boolean {
  return one.title.trim().toLowerCase() === other.title.trim().toLowerCase();
}
