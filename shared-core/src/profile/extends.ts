import { lowerBound } from '../base/lowerBound.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';
import {
  items,
  type JsonNode,
  type JsonSpan,
  type JsonValue,
  member,
  type ProfileProblem,
  readJson,
  spanOf,
  text,
  wholeOf,
  wrong,
} from './json.js';
import { MERGED_LISTS, mergedList, sayNothingThere } from './mergeLists.js';
import { type MergeKey, merged, without } from './mergePatch.js';

/** The key under which a profile names the profiles that it builds on. */
export const EXTENDS = 'extends';

/** A profile that another one extends, as it was read. */
export interface Base {
  /** Its address. */
  readonly file: string;
  /** What people call it. */
  readonly name: string;
  readonly text: string;
  /** How a path in it is written in the profile that extends it. */
  readonly pathFrom: (path: string) => string;
}

/** The profiles that a profile extends, those first that lie under the others; or why one of them is not to be had. */
export interface Bases {
  readonly files: readonly Base[];
  /** The addresses of all files that were asked for. */
  readonly asked: readonly string[];
  /** `at`: which of the paths that the profile names leads to it, from 0. */
  readonly problem?: { readonly at: number; readonly message: Phrase };
}

/** Where a profile names those that it extends, which these are, with all that they extend, and what was asked for. */
export interface Chain {
  readonly span: JsonSpan;
  readonly bases: readonly Base[];
  readonly asked: readonly string[];
}

/** The paths of the profiles that a text extends; none where it cannot be read. */
export function pathsExtended(source: string): readonly string[] {
  // Most profiles extend none, and a key may be written with escapes.
  if (!source.includes(EXTENDS) && !source.includes('\\u')) return [];
  const { root } = readJson(source);
  return root === undefined ? [] : namedBases({ ...root, problems: [] }).map(({ path }) => path);
}

/** The paths that a profile which is extended names in turn; or why it cannot be extended. */
export function readBase(source: string): Result<readonly string[]> {
  const { root, problems } = readJson(source);
  const [torn] = problems;
  if (root === undefined) return refuse(torn?.message ?? phrase('It cannot be read.'));
  if (wholeOf(member(root, 'format')?.node.value) !== 1)
    return refuse(phrase('it is of another form: its "format" is not 1'));
  const named = namedBases(root);
  const wrongly = problems[problems.length - 1];
  return named.length === 0 && member(root, EXTENDS) !== undefined && wrongly !== undefined
    ? refuse(wrongly.message)
    : done(named.map(({ path }) => path));
}

interface NamedBase {
  readonly path: string;
  readonly value: JsonValue;
}

/** One path or a list of them; none, with a problem, where one of them is unclear. */
function namedBases(root: JsonValue): readonly NamedBase[] {
  const named = member(root, EXTENDS);
  if (named === undefined) return [];
  const all = named.node.type === 'array' ? items(named) : [named];
  if (all.length === 0) wrong(named, phrase('This list is empty: name a profile that this one builds on.'));
  const paths = all.flatMap((value) => {
    const path = text(value);
    if (path?.trim() === '') wrong(value, phrase('This path is empty: name a profile that this one builds on.'));
    return path === undefined || path.trim() === '' ? [] : [{ path, value }];
  });
  return paths.length === all.length ? paths : [];
}

/**
 * A profile over those that it extends, as one. Where these are not to be had there is none: what is locked may be said in
 * them. `bases` is undefined where nobody looked for them.
 */
export function overBases(
  root: JsonValue,
  bases: Bases | undefined,
): { readonly root: JsonValue | undefined; readonly chain: Chain | undefined } {
  const { problems } = root;
  const named = member(root, EXTENDS);
  if (named === undefined) return { root, chain: undefined };
  const paths = namedBases(root);
  const chain = { span: spanOf(named.node), bases: bases?.files ?? [], asked: bases?.asked ?? [] };
  if (paths.length === 0) return { root: undefined, chain };
  const unread = bases === undefined ? { at: 0, message: NOT_READ } : bases.problem;
  if (unread !== undefined) {
    wrong(paths[unread.at]?.value ?? named, unread.message);
    return { root: undefined, chain };
  }
  const trees = chain.bases.map(treeOf);
  for (const tree of trees) problems.push(...tree.problems);
  const under = trees.reduce<JsonNode | undefined>(
    (all, tree) => (all === undefined ? tree.node : over(all, tree.node, problems)),
    undefined,
  );
  const own = without(root.node, [EXTENDS]);
  return { root: { node: under === undefined ? own : over(under, own, problems), problems }, chain };
}

const NOT_READ = phrase('The profiles that this one extends were not read.');

/** What every file says for itself. */
const OWN_KEYS = ['$schema', 'format', EXTENDS];

/** The tree of a profile that is extended, each node with its file, and what is wrong with it as JSON. */
function treeOf(base: Base): { readonly node: JsonNode; readonly problems: readonly ProfileProblem[] } {
  const { root, problems } = readJson(base.text);
  const empty: JsonNode = { type: 'object', offset: 0, length: 0, children: [] };
  const node = placed(without(root?.node ?? empty, OWN_KEYS), base, []);
  return { node, problems: problems.map((one) => ({ ...one, span: { ...one.span, file: base.file } })) };
}

/** Where a profile names other files. */
const PATHS = new Set(['options needs profile', 'options excludes profile', 'samples dump']);

function placed(node: JsonNode, base: Base, keys: readonly string[]): JsonNode {
  const { children, parent: _, ...rest } = node;
  const value: unknown = rest.value;
  const moved = typeof value === 'string' && PATHS.has(keys.join(' ')) ? { value: base.pathFrom(value) } : undefined;
  return {
    ...rest,
    ...moved,
    file: base.file,
    ...(children && {
      children: node.type === 'property' ? inProperty(children, base, keys) : inList(children, base, keys),
    }),
  };
}

function inProperty([key, value]: readonly JsonNode[], base: Base, keys: readonly string[]): JsonNode[] {
  if (key === undefined || value === undefined) return [];
  return [{ ...key, file: base.file }, placed(value, base, [...keys, String(key.value)])];
}

function inList(children: readonly JsonNode[], base: Base, keys: readonly string[]): JsonNode[] {
  return children.map((child) => placed(child, base, keys));
}

function over(target: JsonNode, patch: JsonNode, problems: ProfileProblem[]): JsonNode {
  const nothingThere = sayNothingThere(problems);
  const mergeKey: MergeKey = (key, under, value) => {
    const known = Object.hasOwn(MERGED_LISTS, key) ? MERGED_LISTS[key] : undefined;
    return known !== undefined && value.type === 'array'
      ? mergedList(known, under, { node: value, problems })
      : merged(under, value, undefined, nothingThere);
  };
  return merged(target, patch, mergeKey, nothingThere);
}

/** Problems of a profile as they are told in its own file: those in a profile that it extends where it names that. */
export function toldIn(chain: Chain | undefined, problems: readonly ProfileProblem[]): readonly ProfileProblem[] {
  const starts = new Map<Base, readonly number[]>();
  return problems.map((problem) => {
    const base = chain?.bases.find(({ file }) => file === problem.span.file);
    if (chain === undefined || base === undefined) return problem;
    const lines = starts.get(base) ?? lineStarts(base.text);
    starts.set(base, lines);
    const line = lowerBound(lines.length, (at) => (lines[at] ?? 0) <= problem.span.start);
    const message = phrase('{0}, line {1}: {2}', base.name, line, problem.message);
    return { ...problem, span: chain.span, there: problem.span, message };
  });
}

function lineStarts(text: string): readonly number[] {
  return [0, ...Array.from(text.matchAll(/\r\n|\r|\n/g), ({ index, 0: end }) => index + end.length)];
}
