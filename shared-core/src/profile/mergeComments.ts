import { createScanner, type Node } from 'jsonc-parser';
import { type Phrase, phrase } from '../base/phrase.js';
import { readJson } from './json.js';
import { entriesOf, type Path, plainText } from './mergeEntries.js';
import { editedProfile, type ProfileEdit, styleOf } from './profileText.js';

/** What comments are at: a property, an entry, or the end of an object, a list or the file. */
interface Place {
  /** The same in all texts of one profile. */
  readonly id: string;
  readonly at: Pick<Node, 'offset' | 'length'>;
  readonly isEnd: boolean;
}

interface Comment {
  /** Its lines as they are, without indentation. */
  readonly text: string;
  readonly place: Place;
  /** What takes it out. */
  readonly edit: ProfileEdit;
}

/** The texts that a merged one is made of. */
interface Sources {
  readonly mine: { readonly text: string };
  readonly theirs: { readonly text: string };
  readonly base: { readonly text: string };
}

/**
 * A merged text with the comments of both sides that either has and did not take out, each at what it is said of.
 * `homeless` names those whose place is gone.
 */
export function keepComments(
  text: string,
  { mine, theirs, base }: Sources,
): { readonly text: string; readonly homeless: readonly Phrase[] } {
  const here = commentsOf(text);
  const [ofMine, ofTheirs] = [commentsOf(mine.text), commentsOf(theirs.text)];
  const [own, other, old, now] = [ofMine, ofTheirs, commentsOf(base.text), here].map(
    (comments) => new Set(comments.map(keyOf)),
  );
  const isWanted = (key: string) => (own?.has(key) && other?.has(key)) || !old?.has(key);
  const places = new Map(placesIn(partOf(text)).map((place) => [place.id, place]));
  const homeless: Phrase[] = [];
  const added = new Map<Place, string[]>();
  const moved = new Set<string>();
  for (const [key, { text: said, place }] of new Map([...ofMine, ...ofTheirs].map((one) => [keyOf(one), one]))) {
    if (!isWanted(key) || now?.has(key)) continue;
    const there = places.get(place.id);
    if (there === undefined) homeless.push(withoutPlace(said));
    else added.set(there, [...(added.get(there) ?? []), said]);
    moved.add(said);
  }
  // One that is moved is not to be there twice; else none is taken out.
  const gone = here.filter((one) => !isWanted(keyOf(one)) && moved.has(one.text));
  const edits = [...gone.map(({ edit }) => edit), ...[...added].map(([place, said]) => inserted(text, place, said))];
  return {
    text: editedProfile(
      text,
      [...edits].sort((a, b) => a.offset - b.offset),
    ),
    homeless,
  };
}

function withoutPlace(comment: string): Phrase {
  const [first = ''] = comment.split('\n');
  return phrase('The comment "{0}" has lost its place: put it elsewhere, or take it out.', first);
}

function keyOf({ place, text }: Comment): string {
  return `${place.id} ${text}`;
}

/** The comments of a text and what each is at. Lines that belong together are one. */
export function commentsOf(text: string): readonly Comment[] {
  const root = partOf(text);
  const found: { start: number; end: number; place: Place; isLine: boolean }[] = [];
  const scanner = createScanner(text, false);
  for (let token: number = scanner.scan(); token !== END; token = scanner.scan()) {
    if (token !== LINE_COMMENT && token !== BLOCK_COMMENT) continue;
    const start = scanner.getTokenOffset();
    const end = start + scanner.getTokenLength();
    const place = placeAt(text, root, start, end);
    const [last, isLine] = [found.at(-1), token === LINE_COMMENT];
    if (last?.isLine && isLine && last.place.id === place.id && /^\r?\n[ \t]*$/.test(text.slice(last.end, start)))
      last.end = end;
    else found.push({ start, end, place, isLine });
  }
  return found.map(({ start, end, place }) => ({
    text: text
      .slice(start, end)
      .split(/\r?\n/)
      .map((line) => line.trim())
      .join('\n'),
    place,
    edit: removed(text, start, end),
  }));
}

/** Tokens of the scanner, whose constants cannot be imported one file at a time. */
const [LINE_COMMENT, BLOCK_COMMENT, END] = [12, 13, 17];

/** A value with what it is called in a profile, and those in it. */
interface Part {
  readonly id: string;
  readonly at: Pick<Node, 'offset' | 'length'>;
  readonly value: Pick<Node, 'offset' | 'length'>;
  readonly hasEnd: boolean;
  readonly parts: readonly Part[];
}

/** The whole file, with the profile in it. */
function partOf(text: string): Part {
  const root = readJson(text).root?.node;
  // One bracket more than the text has, as each object has one at its end.
  const file = { offset: -1, length: text.length + 2 };
  return { id: '', at: file, value: file, hasEnd: true, parts: root === undefined ? [] : [partAt(root, root, [])] };
}

function partAt(at: Node, value: Node, path: Path): Part {
  const parts: Part[] = [];
  if (value.type === 'object')
    for (const property of value.children ?? []) {
      const [key, below] = property.children ?? [];
      if (key !== undefined && below !== undefined) parts.push(partAt(property, below, [...path, String(key.value)]));
    }
  if (value.type === 'array') {
    const names = new Map([...(entriesOf(path, value) ?? [])].map(([name, entry]) => [entry, name]));
    // Where nothing tells them apart, a remark on one is never put on another that has taken its place.
    for (const entry of value.children ?? [])
      parts.push(partAt(entry, entry, [...path, { entry: names.get(entry) ?? plainText(entry), called: '' }]));
  }
  return { id: JSON.stringify(path), at, value, hasEnd: value.type === 'object' || value.type === 'array', parts };
}

function endOf({ id, value }: Part): Place {
  return { id: `end of ${id}`, at: value, isEnd: true };
}

function placesIn(part: Part): readonly Place[] {
  const own = { id: part.id, at: part.at, isEnd: false };
  return [own, ...(part.hasEnd ? [endOf(part)] : []), ...part.parts.flatMap(placesIn)];
}

/** What a comment is said of: what is before it in its line, else what follows it, else the end of what it is in. */
function placeAt(text: string, part: Part, start: number, end: number): Place {
  const inside = part.parts.find(({ at }) => at.offset < start && end <= at.offset + at.length);
  if (inside !== undefined)
    return inside.hasEnd && inside.value.offset < start
      ? placeAt(text, inside, start, end)
      : { id: inside.id, at: inside.at, isEnd: false };
  const next = part.parts.find(({ at }) => at.offset >= end);
  const before = part.parts.filter(({ at }) => at.offset + at.length <= start).at(-1);
  const isOnLine = (from: number, to: number) => !text.slice(from, to).includes('\n');
  const isBehind = before !== undefined && isOnLine(before.at.offset + before.at.length, start);
  const isBetween = next !== undefined && isOnLine(end, next.at.offset);
  const one = isBehind && !isBetween ? before : next;
  return one === undefined ? endOf(part) : { id: one.id, at: one.at, isEnd: false };
}

/** Takes out what is between two places, with its lines where nothing else is on them. */
function removed(text: string, start: number, end: number): ProfileEdit {
  const line = text.lastIndexOf('\n', start - 1) + 1;
  const head = text.slice(line, start);
  const [blanks = '', lineEnd] = /^[ \t]*(\r?\n|$)?/.exec(text.slice(end)) ?? [];
  const isFirst = head.trim() === '';
  if (isFirst && lineEnd !== undefined) return { offset: line, length: end + blanks.length - line, text: '' };
  const from = isFirst ? start : line + head.trimEnd().length;
  return { offset: from, length: end - from, text: '' };
}

/** Comments above what they are said of, or at its end, each in a line of its own. */
function inserted(text: string, { at, isEnd }: Place, comments: readonly string[]): ProfileEdit {
  const offset = Math.min(isEnd ? at.offset + at.length - 1 : at.offset, text.length);
  const head = text.slice(text.lastIndexOf('\n', offset - 1) + 1, offset);
  const isFree = head.trim() === '';
  const { indent, step, lineEnd } = styleOf(text, offset);
  const isFile = at.offset < 0;
  const inner = isFile || (isFree && !isEnd) ? indent : indent + step;
  const lines = comments.flatMap((one) => one.split('\n')).join(lineEnd + inner);
  if (isFile) return { offset, length: 0, text: `${isFree ? '' : lineEnd}${lines}${lineEnd}` };
  const behind = isEnd ? indent : inner;
  return {
    offset,
    length: 0,
    text: `${isFree ? inner.slice(head.length) : lineEnd + inner}${lines}${lineEnd}${behind}`,
  };
}
