import { createScanner, findNodeAtLocation, type Node, parseTree } from 'jsonc-parser';
import { hex } from '../base/hex.js';
import { type Phrase, phrase, say } from '../base/phrase.js';
import type { Label } from '../format/row.js';
import type { Hazard } from '../profile/profile.js';
import { readProfile } from '../profile/readProfile.js';
import type { OptionSearch } from './findOption/findOption.js';
import { FOUND } from './findOption/findOption.js';
import type { OptionPlace } from './findOption/partitions.js';
import { addressOfColumn, bitsText, isWholeByte, placeInWords } from './findOption/placeInWords.js';
import type { OptionCandidate } from './findOption/rank.js';

/** A stretch of the profile's text, in UTF-16 units from its start, to be replaced. */
export interface ProfileEdit {
  readonly offset: number;
  readonly length: number;
  readonly text: string;
}

/** An option in a profile's own form. */
export interface DraftOption {
  readonly id: string;
  readonly title: string;
  readonly line?: Label;
  readonly byte?: number;
  readonly bytes?: string;
  /** Of a memory image, in place of line and byte. */
  readonly address?: string;
  /** Of a record that moves, in place of these: the name of its slots, and which byte of them, from 0. */
  readonly slot?: string;
  readonly offset?: number;
  readonly bits?: string;
  readonly values: Readonly<Record<string, string>>;
  readonly hazard?: Hazard;
  readonly confidence: 'likely' | 'guess';
  readonly evidence: string;
}

/**
 * A found place as an option. `words` names each group as a value of the option, such as "fitted" and "not fitted"; a
 * value that marks several numbers is counted. Only trying it in a car makes it `confirmed`.
 */
export function optionOf(
  search: OptionSearch,
  candidate: OptionCandidate,
  named: { readonly id: string; readonly title: string; readonly words: readonly string[] },
): DraftOption {
  const { place } = candidate;
  const values = candidate.values.flatMap((numbers, group) =>
    numbers.map((number, i): [string, string] => {
      const word = named.words[group] ?? search.groups[group] ?? `group ${group + 1}`;
      return [String(number), i === 0 ? word : `${word} (${i + 1})`];
    }),
  );
  return {
    id: named.id,
    title: named.title,
    ...(isOfImage(search) ? addressOfPlace(place) : lineOfPlace(place)),
    ...(place.count === 1 && !isWholeByte(place.bits) ? { bits: bitsText(place.bits) } : {}),
    values: Object.fromEntries(values.sort(([a], [b]) => Number(a) - Number(b))),
    confidence: candidate.q <= FOUND ? 'likely' : 'guess',
    evidence: evidenceOf(search, candidate),
  };
}

function isOfImage({ matrix }: OptionSearch): boolean {
  return matrix.dumps[0]?.dump.layout.kind === 'image';
}

function lineOfPlace({ line, byte, count }: OptionPlace): Pick<DraftOption, 'line' | 'byte' | 'bytes'> {
  return { line, ...(count === 1 ? { byte } : { bytes: `${byte}-${byte + 1}` }) };
}

function addressOfPlace(place: OptionPlace): Pick<DraftOption, 'address' | 'bytes'> {
  const address = `0x${hex(addressOfColumn(place), 4)}`;
  return place.count === 1 ? { address } : { address, bytes: '2' };
}

/** What speaks for a place: the dumps, numbers of dumps, exceptions, p and q, and places that move together with it. */
function evidenceOf(search: OptionSearch, { p, q, exceptions, sameAs }: OptionCandidate): string {
  const { groups, matrix, tried } = search;
  const counts = groups.map((group, i) => {
    const dumps = matrix.dumps.filter((dump) => dump.group === i).map(({ name }) => name);
    const shown = dumps.slice(0, MOST_NAMED).join(', ');
    return `${dumps.length} ${group} (${shown}${dumps.length > MOST_NAMED ? ' …' : ''})`;
  });
  const names = exceptions.map((dump) => matrix.dumps[dump]?.name ?? '');
  const rounded = (number: number) => String(Number(number.toPrecision(2)));
  return [
    `${counts.join(', ')}; p = ${rounded(p)}, q = ${rounded(q)} over ${tried} places.`,
    ...(names.length > 0 ? [`Not as labelled: ${names.join(', ')}.`] : []),
    ...(sameAs.length > 0
      ? [`Moves together with ${sameAs.map((place) => say(placeInWords(place, isOfImage(search)))).join('; ')}.`]
      : []),
  ].join(' ');
}

/** Dumps of a group that are named in the evidence. */
const MOST_NAMED = 3;

/**
 * Why a found option must not go into a profile: one of its name was not found by a search but written down or confirmed
 * by a person, or its place holds something else already.
 */
export function whyNotAdded(profileText: string, option: DraftOption): Phrase | undefined {
  const before = readProfile(profileText);
  const known = optionNode(profileText, option.id);
  if (known !== undefined && !isBySearch(known))
    return phrase(
      'The profile has an option "{0}" already, which a person wrote or completed. Choose another id, or take that one out first.',
      option.id,
    );
  const said = new Set(before.problems.map(({ message }) => say(message)));
  const after = readProfile(editedProfile(profileText, addOption(profileText, option)));
  return after.problems.find(({ message }) => !said.has(say(message)))?.message;
}

/** The object of the option with an id; undefined where there is none. */
function optionNode(profileText: string, id: string): Node | undefined {
  const root = parseTree(profileText, [], { allowTrailingComma: true });
  const options = root && findNodeAtLocation(root, ['options']);
  return options?.children?.find((child) => findNodeAtLocation(child, ['id'])?.value === id);
}

/** The keys of a draft, in order. */
const KEYS = 'id title line byte address slot offset bytes bits values hazard confidence evidence'.split(' ');

/** The keys that a search writes; whatever has another one was completed by a person. */
const WRITTEN_BY_SEARCH = KEYS.filter((key) => key !== 'hazard');

/** Whether a search wrote an option and nobody added to it: its evidence is in the words of a search. */
function isBySearch(option: Node): boolean {
  const keys = option.children?.map(({ children }) => String(children?.[0]?.value)) ?? [];
  const written = (key: string): unknown => findNodeAtLocation(option, [key])?.value;
  return (
    keys.every((key) => WRITTEN_BY_SEARCH.includes(key)) &&
    (written('confidence') === 'likely' || written('confidence') === 'guess') &&
    /; p = \S+, q = \S+ over \d+ places\./.test(String(written('evidence')))
  );
}

/**
 * Edits that add an option at the end of a profile's options, or put it in the place of the one that has its id. Not a
 * character of the rest changes: comments, order and indentation stay. Empty where the text is no JSON object.
 */
export function addOption(profileText: string, option: DraftOption): readonly ProfileEdit[] {
  const written = inOrder(option);
  const root = parseTree(profileText, [], { allowTrailingComma: true });
  if (root?.type !== 'object') return [];
  const options = findNodeAtLocation(root, ['options']);
  if (options?.type !== 'array')
    return appended(profileText, root, (style) => `"options": ${printed([written], style)}`);
  const known = optionNode(profileText, option.id);
  if (known === undefined) return appended(profileText, options, (style) => printed(written, style));
  const style = styleOf(profileText, known.offset);
  return [{ offset: known.offset, length: known.length, text: printed(written, style) }];
}

/** The option with its keys in the order in which people read them, and no others. */
function inOrder(option: DraftOption): object {
  const written = Object.entries(option);
  return Object.fromEntries(KEYS.flatMap((key) => written.filter(([name]) => name === key)));
}

/** The text after edits, which are in rising order and do not overlap. */
export function editedProfile(profileText: string, edits: readonly ProfileEdit[]): string {
  return [...edits]
    .reverse()
    .reduce(
      (text, edit) => text.slice(0, edit.offset) + edit.text + text.slice(edit.offset + edit.length),
      profileText,
    );
}

interface Style {
  /** White space before the first line of what is printed. */
  readonly indent: string;
  /** One step to the right. */
  readonly step: string;
  readonly lineEnd: string;
}

/** The comma goes behind the last child, and the new one behind whatever comments follow that. */
function appended(text: string, list: Node, print: (style: Style) => string): ProfileEdit[] {
  const last = list.children?.at(-1);
  const close = list.offset + list.length - 1;
  const outer = styleOf(text, list.offset);
  const ownLine = last !== undefined && /(?:^|\n)[ \t]*$/.test(text.slice(0, last.offset));
  const style = ownLine ? styleOf(text, last.offset) : { ...outer, indent: outer.indent + outer.step };
  const before = text.slice(0, close).trimEnd();
  const onLine = before.length + (text.slice(before.length, close).includes('\n') ? 0 : close - before.length);
  const closing = onLine === close ? style.lineEnd + outer.indent : '';
  const entry = { offset: onLine, length: 0, text: `${style.lineEnd}${style.indent}${print(style)}${closing}` };
  if (last === undefined || hasComma(text, last.offset + last.length, close)) return [entry];
  return [{ offset: last.offset + last.length, length: 0, text: ',' }, entry];
}

/** Whether a comma stands between two places, outside comments. */
function hasComma(text: string, from: number, to: number): boolean {
  const scanner = createScanner(text.slice(from, to), true);
  return scanner.scan() === COMMA;
}

/** `SyntaxKind.CommaToken` of the scanner, whose constants cannot be imported one file at a time. */
const COMMA = 5;

function printed(value: unknown, { indent, step, lineEnd }: Style): string {
  return JSON.stringify(value, undefined, step).replaceAll('\n', lineEnd + indent);
}

/** Indentation and line ends as the writer of the profile has them, for a value that begins at `offset`. */
function styleOf(text: string, offset: number): Style {
  const line = text.slice(text.lastIndexOf('\n', offset - 1) + 1, offset);
  return {
    indent: /^[ \t]*/.exec(line)?.[0] ?? '',
    step: /\n([ \t]+)\S/.exec(text)?.[1] ?? '  ',
    lineEnd: text.includes('\r\n') ? '\r\n' : '\n',
  };
}
