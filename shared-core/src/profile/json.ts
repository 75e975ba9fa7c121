import { findNodeAtLocation, type Node, type ParseError, parseTree } from 'jsonc-parser';
import { nearestName } from '../words/nearestName.js';
import { type Phrase, phrase } from '../words/phrase.js';

/** A stretch of a JSON text in UTF-16 units from its start: `end` exclusive. */
export interface JsonSpan {
  readonly start: number;
  readonly end: number;
}

export interface ProfileProblem {
  readonly code: 'profile-unreadable' | 'profile-invalid';
  readonly span: JsonSpan;
  readonly message: Phrase;
}

/** A value of the JSON text with its place, and the list to which what is wrong with it is added. */
export interface JsonValue {
  readonly node: Node;
  readonly problems: ProfileProblem[];
}

/** Reads a JSON text; comments and trailing commas are let pass, as people annotate their profiles. */
export function readJson(text: string): { readonly root: JsonValue | undefined; readonly problems: ProfileProblem[] } {
  const errors: ParseError[] = [];
  const node = parseTree(text, errors, { allowTrailingComma: true });
  const problems: ProfileProblem[] = errors.slice(0, 1).map(({ offset, length }) => ({
    code: 'profile-unreadable',
    span: { start: offset, end: offset + Math.max(1, length) },
    message: phrase('This is no JSON from here on: a comma, a quote or a bracket is missing or too many.'),
  }));
  if (node?.type === 'object' && errors.length === 0) return { root: { node, problems }, problems };
  if (problems.length === 0) {
    const message = phrase('A profile is a JSON object: { "format": 1, … }.');
    problems.push({ code: 'profile-unreadable', span: node ? spanOf(node) : { start: 0, end: 1 }, message });
  }
  return { root: undefined, problems };
}

export function spanOf({ offset, length }: Node): JsonSpan {
  return { start: offset, end: offset + length };
}

export function wrong({ node, problems }: JsonValue, message: Phrase): undefined {
  problems.push({ code: 'profile-invalid', span: spanOf(node), message });
  return undefined;
}

/** The value of a key, or undefined where the object has none. */
export function member({ node, problems }: JsonValue, key: string): JsonValue | undefined {
  const found = findNodeAtLocation(node, [key]);
  return found && { node: found, problems };
}

/** Says of every key of an object that is not among the known ones that it is unknown. */
export function knownKeys(object: JsonValue, known: readonly string[]): void {
  for (const property of object.node.children ?? []) {
    const [key] = property.children ?? [];
    if (key === undefined || known.includes(key.value)) continue;
    const near = nearestName(key.value, known);
    const message =
      near === undefined
        ? phrase('"{0}" is no key that is known here.', key.value)
        : phrase('"{0}" is no key that is known here; "{1}" is probably meant.', key.value, near);
    wrong({ node: key, problems: object.problems }, message);
  }
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

export function items(value: JsonValue | undefined): readonly JsonValue[] {
  if (value === undefined) return [];
  if (value.node.type !== 'array') {
    wrong(value, phrase('A list [ … ] is wanted here.'));
    return [];
  }
  return (value.node.children ?? []).map((node) => ({ node, problems: value.problems }));
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

export function real(value: JsonValue | undefined): number | undefined {
  if (value === undefined || typeof value.node.value === 'number') return value?.node.value;
  return wrong(value, phrase('A number is wanted here.'));
}

/** One of several words. */
export function oneOf<T extends string | number>(value: JsonValue | undefined, words: readonly T[]): T | undefined {
  if (value === undefined) return undefined;
  const found = words.find((word) => word === value.node.value);
  if (found !== undefined) return found;
  return wrong(value, phrase('One of {0} is wanted here.', words.map((word) => JSON.stringify(word)).join(', ')));
}

/** The number that a text or JSON number writes, or undefined. */
export function wholeOf(written: unknown): number | undefined {
  if (typeof written === 'number') return Number.isSafeInteger(written) ? written : undefined;
  if (typeof written !== 'string' || !/^(?:0x[0-9a-f]+|\d+)$/i.test(written)) return undefined;
  const number = Number(written);
  return Number.isSafeInteger(number) ? number : undefined;
}
