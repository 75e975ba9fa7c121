import { findNodeAtLocation, type Node, parseTree } from 'jsonc-parser';
import { hex } from '../base/hex.js';
import { type Phrase, phrase, say } from '../base/phrase.js';
import type { Label } from '../format/row.js';
import type { Dump } from '../model/dump.js';
import { dayTaken, headerValue } from '../model/headers.js';
import { protectedPlaces, whyNoOptionIn } from '../model/protected.js';
import type { Bases } from '../profile/extends.js';
import { liesIn } from '../profile/places.js';
import type { Hazard, Observation, Profile } from '../profile/profile.js';
import { appended, editedProfile, type ProfileEdit, printed, styleOf } from '../profile/profileText.js';
import { readProfile } from '../profile/readProfile.js';
import { evidenceText } from '../profile/searchEvidence.js';
import { calledBy } from './findOption/calledBy.js';
import type { OptionSearch } from './findOption/findOption.js';
import { FOUND, isOfOneKind } from './findOption/findOption.js';
import type { OptionPlace } from './findOption/partitions.js';
import { addressOfColumn, bitsText, isWholeByte, placeInWords } from './findOption/placeInWords.js';
import type { OptionCandidate } from './findOption/rank.js';
import { baseDescribing, optionIn } from './inBases.js';

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
  readonly hazard?: Hazard | readonly Hazard[];
  readonly confidence: 'likely' | 'guess';
  readonly evidence: string;
  readonly seen?: readonly Partial<Observation>[];
}

/**
 * A found place as an option. `words` names each group as a value of the option, such as "fitted" and "not fitted"; a
 * value that marks several numbers is counted; `own` is a dump that says what its lines are called. Only trying it in a car makes it `confirmed`.
 */
export function optionOf(
  search: OptionSearch,
  candidate: OptionCandidate,
  named: { readonly id: string; readonly title: string; readonly words: readonly string[] },
  own?: Dump,
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
    confidence: candidate.q <= FOUND && isOfOneKind(search) ? 'likely' : 'guess',
    evidence: evidenceOf(search, calledBy(own, candidate)),
    seen: [seenIn(search)],
  };
}

/** Of which modules the dumps in the groups are, as far as all of them agree, and the day of the last one. */
function seenIn({ matrix }: OptionSearch): Partial<Observation> {
  const dumps = matrix.dumps.filter(({ group }) => group !== undefined);
  const inAll = (header: 'part' | 'software') => {
    const values = new Set(dumps.map(({ dump }) => headerValue(dump, header)));
    const [value] = values;
    return values.size === 1 && value !== undefined && value !== '' ? { [header]: value } : {};
  };
  const days = dumps.flatMap(({ dump }) => dayTaken(dump) ?? []).sort();
  const day = days.at(-1);
  return { ...inAll('part'), ...inAll('software'), ...(day !== undefined && { date: day }), how: 'found-by-search' };
}

function isOfImage({ matrix }: OptionSearch): boolean {
  return matrix.dumps[0]?.dump.shape.kind === 'image';
}

function lineOfPlace({ line, byte, count }: OptionPlace): Pick<DraftOption, 'line' | 'byte' | 'bytes'> {
  return { line, ...(count === 1 ? { byte } : { bytes: `${byte}-${byte + 1}` }) };
}

function addressOfPlace(place: OptionPlace): Pick<DraftOption, 'address' | 'bytes'> {
  const address = `0x${hex(addressOfColumn(place), 4)}`;
  return place.count === 1 ? { address } : { address, bytes: '2' };
}

/** What speaks for a place: the dumps, numbers of dumps, exceptions, how sure it is with p and q behind, and places that move together with it. */
function evidenceOf(search: OptionSearch, { p, q, exceptions, sameAs }: OptionCandidate): string {
  const { groups, matrix, tried } = search;
  const counts = groups.map((group, i) => {
    const dumps = matrix.dumps.filter((dump) => dump.group === i).map(({ name }) => name);
    const shown = dumps.slice(0, MOST_NAMED).join(', ');
    return { count: dumps.length, name: group, dumps: `${shown}${dumps.length > MOST_NAMED ? ' …' : ''}` };
  });
  const rounded = (number: number) => Number(number.toPrecision(2));
  return evidenceText({
    groups: counts,
    ...{ p: rounded(p), q: rounded(q), tried },
    exceptions: exceptions.map((dump) => matrix.dumps[dump]?.name ?? '').join(', '),
    together: sameAs.map((place) => say(placeInWords(place, isOfImage(search)))),
    unnamed: 0,
  });
}

/** Dumps of a group that are named in the evidence. */
const MOST_NAMED = 3;

/**
 * Why a found option must not go into a profile: one of its name was not found by a search but written down or confirmed
 * by a person, or is described in a profile that is extended, or its place holds something else already or never changes.
 */
export function whyNotAdded(profileText: string, option: DraftOption, bases?: Bases): Phrase | undefined {
  const before = readProfile(profileText, bases);
  const [torn] = before.problems;
  if (before.chain !== undefined && torn?.code === 'profile-unreadable') return torn.message;
  const base = baseDescribing(bases, option.id);
  if (base !== undefined)
    return phrase(
      'The option "{0}" is described in {1}, which this profile extends. Choose another id, or change it there.',
      option.id,
      base.name,
    );
  const known = optionNode(profileText, option.id);
  if (known !== undefined && !isBySearch(known))
    return phrase(
      'The profile has an option "{0}" already, which a person wrote or completed. Choose another id, or take that one out first.',
      option.id,
    );
  const said = new Set(before.problems.map(({ message }) => say(message)));
  const after = readProfile(editedProfile(profileText, addOption(profileText, option)), bases);
  return (
    after.problems.find(({ message }) => !said.has(say(message)))?.message ?? whyNeverSet(after.profile, option.id)
  );
}

/** Why an option could only be read: its bytes must not change, or would not last. */
function whyNeverSet(profile: Profile, id: string): Phrase | undefined {
  const option = profile.options.find((one) => one.id === id);
  if (option === undefined) return undefined;
  const [first] = protectedPlaces(profile).filter(({ kind, place }) => kind !== 'security' && liesIn(option, place));
  return first && whyNoOptionIn(first);
}

function optionNode(profileText: string, id: string): Node | undefined {
  const root = parseTree(profileText, [], { allowTrailingComma: true });
  return root && optionIn(root, id);
}

/** The keys of a draft, in order. */
const KEYS = 'id title line byte address slot offset bytes bits values hazard confidence evidence seen'.split(' ');

/** The keys that a search writes; whatever has another one was completed by a person. */
const WRITTEN_BY_SEARCH = KEYS.filter((key) => key !== 'hazard');

/** Whether a search wrote an option and nobody added to it: its evidence is in the words of a search. */
function isBySearch(option: Node): boolean {
  const keys = option.children?.map(({ children }) => String(children?.[0]?.value)) ?? [];
  const written = (key: string): unknown => findNodeAtLocation(option, [key])?.value;
  return (
    keys.every((key) => WRITTEN_BY_SEARCH.includes(key)) &&
    !isSeenOtherwise(findNodeAtLocation(option, ['seen'])) &&
    (written('confidence') === 'likely' || written('confidence') === 'guess') &&
    /; (?:p|[^;]* \(p) = \S+, q = \S+ over \d+ (?:places|patterns)\)?\./.test(String(written('evidence')))
  );
}

/** Whether somebody has added where an option was seen. */
function isSeenOtherwise(list: Node | undefined): boolean {
  return (list?.children ?? []).some((entry) => findNodeAtLocation(entry, ['how'])?.value !== 'found-by-search');
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
