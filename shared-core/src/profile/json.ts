import { createScanner, type Node, type ParseError, parseTree } from 'jsonc-parser';
import { nearestName } from '../base/nearestName.js';
import { type Phrase, phrase } from '../base/phrase.js';

/** A stretch of a JSON text in UTF-16 units from its start: `end` exclusive. */
export interface JsonSpan {
  readonly start: number;
  readonly end: number;
  /** The file that the stretch is in, where that is another one: a profile that the one that is read extends. */
  readonly file?: string;
  /** Where the same thing is in a profile that is extended, of which the stretch changes something. */
  readonly over?: JsonSpan;
}

export interface ProfileProblem {
  readonly code: 'profile-unreadable' | 'profile-invalid';
  /** In the file itself: of a problem in a profile that it extends, where it names that. */
  readonly span: JsonSpan;
  /** Where such a problem is. */
  readonly there?: JsonSpan;
  readonly message: Phrase;
}

/** A node of a JSON text, with the file that it is from and the node that it changes, where a profile extends others. */
export interface JsonNode extends Node {
  readonly children?: JsonNode[];
  readonly file?: string;
  readonly over?: JsonNode;
}

/** Says what is wrong at a place. */
export type Report = (span: JsonSpan, message: Phrase) => void;

/** A value of the JSON text with its place, and the list to which what is wrong with it is added. */
export interface JsonValue {
  readonly node: JsonNode;
  readonly problems: ProfileProblem[];
}

/** The parser goes down one call per bracket; deeper than this no profile is, and much deeper it would run out of stack. */
const DEEPEST = 64;

/** A text of more characters is no profile: the largest that people write have some 100,000. */
const LONGEST = 4 * 1024 * 1024;

/** A list of more entries is no part of a profile, and holding each against the others would take too long. */
const MOST_ITEMS = 10_000;

/**
 * Reads a JSON text; comments, trailing commas and a byte-order mark are allowed, as people annotate their profiles. A
 * text that breaks off or is torn has no root: a profile without its locked places would be worse than none.
 */
export function readJson(source: string): {
  readonly root: JsonValue | undefined;
  readonly problems: ProfileProblem[];
} {
  const unreadable = (start: number, end: number, message: Phrase) => ({
    root: undefined,
    problems: [{ code: 'profile-unreadable' as const, span: { start, end }, message }],
  });
  if (source.length > LONGEST)
    return unreadable(0, 1, phrase('This file is too large: at most {0} characters are read.', LONGEST));
  // A byte-order mark is no JSON; editors keep it out of sight, and other programs write it.
  const text = source.replace(/^\ufeff/, ' ');
  const deep = tooDeep(text);
  if (deep !== undefined) {
    return unreadable(deep, deep + 1, phrase('Brackets are nested too deeply here: no profile needs more than a few.'));
  }
  const errors: ParseError[] = [];
  const node: JsonNode | undefined = parseTree(text, errors, { allowTrailingComma: true });
  const [error] = errors;
  if (error !== undefined && text.trim() !== '') {
    // A text that breaks off is wrong at its last visible character: behind it there is no place for a mark.
    const start = Math.min(error.offset, text.trimEnd().length - 1);
    return unreadable(
      start,
      Math.max(start + 1, Math.min(error.offset + error.length, text.length)),
      phrase('This is no JSON from here on: a comma, a quote or a bracket is missing or too many.'),
    );
  }
  if (node?.type !== 'object') {
    const { start, end } = node === undefined ? { start: 0, end: 1 } : spanOf(node);
    return unreadable(start, end, phrase('A JSON object is wanted here: { "format": 1, … }.'));
  }
  const problems: ProfileProblem[] = [];
  const root = { node, problems };
  eachKeyOnce(root);
  return { root, problems };
}

/** Says of each key that an object has twice, at any depth, that it has: nobody knows which of them counts. */
function eachKeyOnce(value: JsonValue): void {
  const seen = new Set<string>();
  for (const [key, member, keyNode] of entries(value)) {
    if (seen.has(key)) wrong(keyNode, phrase('"{0}" is given twice here: remove one of them.', key));
    seen.add(key);
    eachKeyOnce(member);
  }
  if (value.node.type !== 'array') return;
  for (const node of value.node.children ?? []) eachKeyOnce({ node, problems: value.problems });
}

/** Where brackets are nested too deeply to be parsed. */
export function tooDeep(text: string): number | undefined {
  const scanner = createScanner(text, true);
  let depth = 0;
  while (true) {
    const token: number = scanner.scan();
    if (token === OPEN_BRACE || token === OPEN_BRACKET) depth++;
    else if (token === CLOSE_BRACE || token === CLOSE_BRACKET) depth--;
    else if (token === END) return undefined;
    if (depth > DEEPEST) return scanner.getTokenOffset();
  }
}

/** Tokens of jsonc-parser, whose own enumeration is for compilers that look across files only. */
const [OPEN_BRACE, CLOSE_BRACE, OPEN_BRACKET, CLOSE_BRACKET, END] = [1, 2, 3, 4, 17];

export function spanOf({ offset, length, file, over }: JsonNode): JsonSpan {
  return {
    start: offset,
    end: offset + length,
    ...(file !== undefined && { file }),
    ...(over !== undefined && { over: spanOf(over) }),
  };
}

export function wrong({ node, problems }: JsonValue, message: Phrase): undefined {
  problems.push({ code: 'profile-invalid', span: spanOf(node), message });
  return undefined;
}

/** Says that something is missing from an object, at the bracket that opens it. */
export function missing({ node, problems }: JsonValue, message: Phrase): undefined {
  const { over: _, ...span } = spanOf(node);
  problems.push({ code: 'profile-invalid', span: { ...span, end: span.start + 1 }, message });
  return undefined;
}

/** The value of a key, or undefined where the object has none. */
export function member({ node, problems }: JsonValue, key: string): JsonValue | undefined {
  const found = propertyOf(node, key)?.children?.[1];
  return found && { node: found, problems };
}

/** The first property of an object that has a key. */
export function propertyOf({ type, children }: JsonNode, key: string): JsonNode | undefined {
  return type === 'object' ? children?.find((property) => property.children?.[0]?.value === key) : undefined;
}

/** Among more names than these none is looked for that is like another: it would take too long. */
const MOST_NAMES = 1_000;

/** The known name that is probably meant. */
export function nearName(written: string, known: readonly string[]): string | undefined {
  return known.length > MOST_NAMES ? undefined : nearestName(written, known);
}

/** What people remark, in any object: a text or a list of texts. */
const NOTE = 'note';

/** Says of every key of an object that is not among the known ones that it is unknown; a note may be in any. */
export function knownKeys(object: JsonValue, known: readonly string[]): void {
  const all = entries(object);
  for (const [key, value, keyNode] of all) {
    if (known.includes(key)) continue;
    if (key === NOTE) {
      checkNote(value);
      continue;
    }
    const near = all.length > MOST_NAMES ? undefined : nearName(key, known);
    const message =
      near === undefined
        ? phrase('Unknown key "{0}".', key)
        : phrase('Unknown key "{0}"; "{1}" is probably meant.', key, near);
    wrong(keyNode, message);
  }
}

/** The entries of a map from number to something, without the note that may be among them. */
export function mapEntries(map: JsonValue): ReturnType<typeof entries> {
  return entries(map).filter(([key, value]) => {
    if (key === NOTE) checkNote(value);
    return key !== NOTE;
  });
}

function checkNote(value: JsonValue): void {
  if (value.node.type === 'array') for (const line of items(value)) text(line);
  else if (typeof value.node.value !== 'string') wrong(value, phrase('A note is a text, or a list of texts.'));
}

/** Says that of several keys that say the same thing in different ways only one may stand there; true where that is so. */
export function onlyOneOf(object: JsonValue, keys: readonly string[]): boolean {
  const [first, second] = entries(object).filter(([key]) => keys.includes(key));
  if (first === undefined || second === undefined || first[0] === second[0]) return true;
  wrong(second[2], phrase('"{0}" and "{1}" do not go together: give one of them.', first[0], second[0]));
  return false;
}

/** Keys and values of an object. */
export function entries({
  node,
  problems,
}: JsonValue): readonly (readonly [key: string, value: JsonValue, keyNode: JsonValue])[] {
  return (node.type === 'object' ? (node.children ?? []) : []).flatMap((property) => {
    const [key, value] = property.children ?? [];
    return key && value ? [[key.value as string, { node: value, problems }, { node: key, problems }] as const] : [];
  });
}

export function items(value: JsonValue | undefined, most = MOST_ITEMS): readonly JsonValue[] {
  if (value === undefined) return [];
  if (value.node.type !== 'array') {
    wrong(value, phrase('A list [ … ] is wanted here.'));
    return [];
  }
  const all = value.node.children ?? [];
  if (all.length > most) wrong(value, phrase('This list is too long: at most {0} entries are read.', most));
  return all.slice(0, most).map((node) => ({ node, problems: value.problems }));
}

export function isObject(value: JsonValue): boolean {
  return value.node.type === 'object' || wrong(value, phrase('An object { … } is wanted here.')) !== undefined;
}

export function text(value: JsonValue | undefined): string | undefined {
  if (value === undefined || typeof value.node.value === 'string') return value?.node.value;
  return wrong(value, phrase('A text in quotes is wanted here.'));
}

export function flag(value: JsonValue | undefined): boolean | undefined {
  if (value === undefined || typeof value.node.value === 'boolean') return value?.node.value;
  return wrong(value, phrase('true or false is wanted here.'));
}

/** A whole number that is not negative: a JSON number, or a text in decimal or `0x` hex. */
export function whole(value: JsonValue | undefined, least = 0, most = Number.MAX_SAFE_INTEGER): number | undefined {
  if (value === undefined) return undefined;
  const number = wholeOf(value.node.value);
  if (number !== undefined && number >= least && number <= most) return number;
  return wrong(value, phrase('A whole number from {0} to {1} is wanted here, or the same as "0x…" text.', least, most));
}

/** A whole number of up to 64 bits. */
export function wide(value: JsonValue | undefined, bits: number): bigint | undefined {
  if (value === undefined) return undefined;
  const written: unknown = value.node.value;
  const plain = typeof written === 'string' ? /^(?:0x[0-9a-f]+|\d+)$/i.test(written) : Number.isSafeInteger(written);
  const number = plain ? BigInt(written as string | number) : -1n;
  if (number >= 0n && number < 1n << BigInt(bits)) return number;
  return wrong(value, phrase('A number of at most {0} bits is wanted here, best as "0x…" text.', bits));
}

/** Any number: a JSON number, or a whole one as text like `whole` takes it. */
export function real(value: JsonValue | undefined): number | undefined {
  if (value === undefined) return undefined;
  const written: unknown = value.node.value;
  const number = typeof written === 'number' ? written : wholeOf(written);
  if (number === undefined) return wrong(value, phrase('A number is wanted here.'));
  // Beyond this, numbers are no longer what is written.
  if (Math.abs(number) <= Number.MAX_SAFE_INTEGER) return number;
  return wrong(value, phrase('This number is too large to be exact.'));
}

/** One of several words, or one of several numbers. */
export function oneOf<T extends string | number>(value: JsonValue | undefined, words: readonly T[]): T | undefined {
  if (value === undefined) return undefined;
  const written: unknown = value.node.value;
  const found = words.find((word) => word === written || (typeof word === 'number' && word === wholeOf(written)));
  if (found !== undefined) return found;
  const wanted = words.map((word) => JSON.stringify(word)).join(', ');
  const near = typeof written === 'string' ? nearName(written, words.map(String)) : undefined;
  return near === undefined
    ? wrong(value, phrase('One of {0} is wanted here.', wanted))
    : wrong(value, phrase('One of {0} is wanted here; "{1}" is probably meant.', wanted, near));
}

/** What `read` makes of a value, or undefined where it found anything wrong with it. */
export function soundOnly<T>({ problems }: JsonValue, read: () => T | undefined): T | undefined {
  const before = problems.length;
  const result = read();
  return problems.length === before ? result : undefined;
}

/** The number that a text or JSON number writes, or undefined. */
export function wholeOf(written: unknown): number | undefined {
  if (typeof written === 'number') return Number.isSafeInteger(written) ? written : undefined;
  if (typeof written !== 'string' || !/^(?:0x[0-9a-f]+|\d+)$/i.test(written)) return undefined;
  const number = Number(written);
  return Number.isSafeInteger(number) ? number : undefined;
}
