import { EXTENDS } from '../profile/extends.js';
import {
  entries,
  items,
  type JsonSpan,
  type JsonValue,
  mapEntries,
  member,
  readJson,
  spanOf,
  wholeOf,
} from '../profile/json.js';
import { OUT } from '../profile/mergeLists.js';

/** A place at which a profile or a retrofit writes the id of an option. */
export interface OptionName {
  readonly id: string;
  /** Path of the profile whose option it is, from the file that names it; undefined where it is one of the file itself. */
  readonly profile: string | undefined;
  /** The option's own description, an entry that takes it out, a condition of another option, what a sample holds, or a setting of a retrofit. */
  readonly role: 'described' | 'taken-out' | 'condition' | 'sample' | 'setting';
  /** The id, without its quotes. */
  readonly span: JsonSpan;
  /** All that is said of the option there. */
  readonly whole: JsonSpan;
  /** How many of a kind are described there, each with a number behind the id; undefined where it is one. */
  readonly repeat: number | undefined;
  /** Of a description, the words for its values; of a setting, the words of the value that it sets. */
  readonly words: readonly ValueWord[];
}

/** Words for a value of an option, and where they are, without their quotes. */
export interface ValueWord {
  readonly text: string;
  readonly span: JsonSpan;
}

/** A place at which a profile or a retrofit names a file. */
export interface PathName {
  readonly path: string;
  /** The path, without its quotes. */
  readonly span: JsonSpan;
}

export interface Names {
  readonly options: readonly OptionName[];
  readonly paths: readonly PathName[];
}

/** All options and files that a profile or a retrofit names; undefined where the text is torn. */
export function namesIn(kind: 'profile' | 'retrofit', text: string): Names | undefined {
  const { root } = readJson(text);
  if (root === undefined) return undefined;
  return kind === 'profile' ? namesInProfile(root) : namesInRetrofit(root);
}

function namesInProfile(root: JsonValue): Names {
  const options = items(member(root, 'options'));
  const conditions = options.flatMap((option) => [
    ...items(member(option, 'needs')),
    ...items(member(option, 'excludes')),
  ]);
  const samples = items(member(root, 'samples'));
  const expected = samples.flatMap((sample) => {
    const expect = member(sample, 'expect');
    return expect === undefined ? [] : mapEntries(expect);
  });
  return {
    options: [
      ...options.flatMap((option) =>
        named(member(option, OUT) === undefined ? 'described' : 'taken-out', option, member(option, 'id'), undefined),
      ),
      ...conditions.flatMap((one) => named('condition', one, member(one, 'option'), member(one, 'profile'))),
      ...expected.flatMap(([, , key]) => named('sample', key, key, undefined)),
    ],
    paths: [
      ...basesOf(root).flatMap(pathOf),
      ...conditions.flatMap((one) => pathOf(member(one, 'profile'))),
      ...samples.flatMap((sample) => pathOf(member(sample, 'dump'))),
    ],
  };
}

function basesOf(root: JsonValue): readonly JsonValue[] {
  const named = member(root, EXTENDS);
  return named?.node.type === 'array' ? items(named) : named === undefined ? [] : [named];
}

function namesInRetrofit(root: JsonValue): Names {
  const changes = items(member(root, 'changes'));
  return {
    options: changes.flatMap((change) => {
      const [profile, set] = [member(change, 'profile'), member(change, 'set')];
      // Without its profile nobody knows whose option it is.
      if (profile === undefined || set === undefined) return [];
      return entries(set).flatMap(([, value, key]) =>
        named('setting', key, key, profile).map((name) => ({ ...name, words: wordOf(value) })),
      );
    }),
    paths: changes.flatMap((change) => pathOf(member(change, 'profile'))),
  };
}

function named(
  role: OptionName['role'],
  whole: JsonValue,
  id: JsonValue | undefined,
  profile: JsonValue | undefined,
): readonly OptionName[] {
  const [written, path]: unknown[] = [id?.node.value, profile?.node.value];
  if (id === undefined || typeof written !== 'string' || (profile !== undefined && typeof path !== 'string')) return [];
  return [
    {
      id: written,
      profile: path as string | undefined,
      role,
      span: insideQuotes(id),
      whole: spanOf(whole.node),
      repeat: role === 'described' ? countOf(member(whole, 'repeat')) : undefined,
      words: role === 'described' ? wordsOf(whole) : [],
    },
  ];
}

function wordsOf(option: JsonValue): readonly ValueWord[] {
  return ['values', 'flags', 'special'].flatMap((key) => {
    const map = member(option, key);
    return map === undefined ? [] : mapEntries(map).flatMap(([, value]) => wordOf(value));
  });
}

function wordOf(value: JsonValue): readonly ValueWord[] {
  const written: unknown = value.node.value;
  return typeof written === 'string' ? [{ text: written, span: insideQuotes(value) }] : [];
}

function countOf(repeat: JsonValue | undefined): number | undefined {
  return repeat && (wholeOf(member(repeat, 'count')?.node.value) ?? 0);
}

/** Whether an id is that of an option, or of one of its kind where it is described several times. */
export function isIdOf({ id, repeat }: Pick<OptionName, 'id' | 'repeat'>, written: string): boolean {
  if (written === id) return true;
  const [, number] = /^([1-9]\d*)$/.exec(written.startsWith(`${id}.`) ? written.slice(id.length + 1) : '') ?? [];
  return number !== undefined && Number(number) <= (repeat ?? 0);
}

/** Whether two descriptions have an id in common, their own ones included. */
export function shareIds(one: Pick<OptionName, 'id' | 'repeat'>, other: Pick<OptionName, 'id' | 'repeat'>): boolean {
  const idsOf = ({ id, repeat = 0 }: typeof one) => [id, ...Array.from({ length: repeat }, (_, i) => `${id}.${i + 1}`)];
  const isTaken = (a: typeof one, b: typeof one) => idsOf(b).some((id) => isIdOf(a, id));
  return isTaken(one, other) || isTaken(other, one);
}

function pathOf(value: JsonValue | undefined): readonly PathName[] {
  const written: unknown = value?.node.value;
  return value === undefined || typeof written !== 'string' ? [] : [{ path: written, span: insideQuotes(value) }];
}

function insideQuotes({ node }: JsonValue): JsonSpan {
  const { start, end } = spanOf(node);
  return { start: start + 1, end: end - 1 };
}
