import { findNodeAtLocation, getNodeValue, type Node } from 'jsonc-parser';
import { shareBytes, stretchOf } from './mergeLists.js';
import { MOVING_PLACE_KEYS } from './readPlace.js';
import { sorted } from './sortedText.js';

/** A way into a profile: by keys, and of a list by what tells its entries apart, and what a person calls them. */
export type Path = readonly (string | { readonly entry: string; readonly called: string })[];

/** One value of a profile in three texts of it. */
export interface Three {
  readonly mine: Node | undefined;
  readonly theirs: Node | undefined;
  readonly base: Node | undefined;
}

export type Entry = Three & { readonly path: Path };

/** Of a list of places: two that share bytes, of which one has changed one and the other the other. */
export function changedApart([key]: Path, entries: readonly Entry[]): readonly [Entry, Entry] | undefined {
  if (TELLING[String(key)] !== MOVING_PLACE_KEYS) return undefined;
  const places = entries.map(({ mine, theirs, base }) => {
    const entry = mine ?? theirs ?? base;
    return entry && stretchOf(entry);
  });
  const mine = [...entries.keys()].filter((i) => !isSame(entries[i]?.mine, entries[i]?.base));
  const theirs = [...entries.keys()].filter((i) => !isSame(entries[i]?.theirs, entries[i]?.base));
  for (const i of mine)
    for (const j of theirs) {
      const [one, other, here, there] = [entries[i], entries[j], places[i], places[j]];
      if (i === j || one === undefined || other === undefined || here === undefined || there === undefined) continue;
      if (isSame(one.mine, one.theirs) && isSame(other.mine, other.theirs)) continue;
      if (shareBytes(here, there)) return [one, other];
    }
  return undefined;
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
export function entriesOf(path: Path, list: Node | undefined): ReadonlyMap<string, Node> | undefined {
  const [key, more, below] = path;
  // What both have seen counts, and what is in a list twice counts once.
  if (key === 'options' && below === 'seen' && path.length === 3 && list?.type === 'array')
    return new Map((list.children ?? []).map((entry) => [plainText(entry), entry]));
  const telling = typeof key === 'string' && more === undefined ? TELLING[key] : undefined;
  if (telling === undefined || list?.type !== 'array') return undefined;
  const found = new Map<string, Node>();
  for (const entry of list.children ?? []) {
    // The same place may be written in other keys.
    const place = telling === MOVING_PLACE_KEYS ? stretchOf(entry) : undefined;
    const name =
      place !== undefined
        ? JSON.stringify([place.of, place.first, place.last])
        : key === 'samples'
          ? plainPath(childOf(entry, 'dump')?.value)
          : said(entry, telling);
    if (name === '' || found.has(name)) return undefined;
    found.set(name, entry);
  }
  return found;
}

/** Whether two lists have in one order what both have of their entries, which may be lists without names. */
export function isInOrder(path: Path, one: Node | undefined, other: Node | undefined): boolean {
  const [here, there] = [one, other].map((list) => entriesOf(path, list) ?? new Map<string, Node>());
  const common = (from: typeof here, among: typeof here) =>
    [...(from?.keys() ?? [])].filter((name) => among?.has(name));
  return sorted(common(here, there)) === sorted(common(there, here));
}

/** Whether two paths of samples are written in two ways and lead to one dump. */
export function isSameSample([key, , below, more]: Path, { mine, theirs, base }: Three): boolean {
  return (
    key === 'samples' &&
    below === 'dump' &&
    more === undefined &&
    !isSame(mine, base) &&
    plainPath(mine?.value) === plainPath(theirs?.value)
  );
}

/** A path in the one form of all that lead there. */
export function plainPath(path: unknown): string {
  const parts: string[] = [];
  const written = String(path ?? '');
  for (const part of written.split('/'))
    if (part === '..' && parts.length > 0 && parts.at(-1) !== '..') parts.pop();
    else if (part !== '.' && part !== '') parts.push(part);
  return `${written.startsWith('/') ? '/' : ''}${parts.join('/')}`;
}

function said(entry: Node, keys: readonly string[]): string {
  return keys
    .flatMap((key) => {
      const value = childOf(entry, key);
      return value === undefined ? [] : `${key} ${plainText(value)}`;
    })
    .join(', ');
}

/** What a person calls an entry of a list. */
export function calledIn([key]: Path, { mine, theirs, base }: Three): string {
  const entry = mine ?? theirs ?? base;
  return entry === undefined ? '' : said(entry, TELLING[String(key)] ?? []) || plainText(entry);
}

export function childOf(node: Node | undefined, key: string): Node | undefined {
  return node?.type === 'object' ? findNodeAtLocation(node, [key]) : undefined;
}

export function isSame(one: Node | undefined, other: Node | undefined): boolean {
  return one === undefined || other === undefined ? one === other : plainText(one) === plainText(other);
}

/** A value in one spelling, whatever the order of its keys. */
export function plainText(node: Node): string {
  return sorted(getNodeValue(node));
}
