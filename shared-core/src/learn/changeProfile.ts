import { findNodeAtLocation, type Node, parseTree } from 'jsonc-parser';
import { type Phrase, phrase, say } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';
import type { Bases } from '../profile/extends.js';
import type { JsonSpan } from '../profile/json.js';
import { OUT } from '../profile/mergeLists.js';
import type { Observation, Profile } from '../profile/profile.js';
import { appended, editedProfile, type ProfileEdit, printed, removedChild, styleOf } from '../profile/profileText.js';
import { readProfile } from '../profile/readProfile.js';
import { confidenceBy, mayBeTheSame, readSeenList } from '../profile/readSeen.js';
import { baseDescribing, baseWith, optionIn } from './inBases.js';

/** What a person wants changed in a profile that they have: lines that are no data, an option that is wrong, a file sum that is no guess any more. */
export type ProfileWish =
  | { readonly kind: 'headings'; readonly headings: readonly string[] }
  | { readonly kind: 'remove'; readonly id: string }
  | {
      readonly kind: 'widen';
      readonly id: string;
      readonly bits: string;
      readonly values: Readonly<Record<string, string>>;
    }
  | { readonly kind: 'confirm'; readonly sums: readonly ConfirmedSum[] }
  | { readonly kind: 'seen'; readonly seen: readonly SeenOption[] };

/** An option, by the id that it has in the text, and where it was seen. */
export interface SeenOption {
  readonly id: string;
  readonly observation: Observation;
}

/** A file sum that is a guess no more: its place in the text, and what confirmed it. */
interface ConfirmedSum {
  readonly at: JsonSpan;
  readonly note: string;
}

/**
 * The edits of a profile's text for a wish; comments, order and indentation stay. Refused where the profile would have a
 * problem afterwards: one that it has already and the wish does not end, or a new one. Profiles that it extends stay as
 * they are: what is to be changed there is refused, or taken out in this one alone.
 */
export function changeProfile(profileText: string, wish: ProfileWish, bases?: Bases): Result<readonly ProfileEdit[]> {
  const root = parseTree(profileText, [], { allowTrailingComma: true });
  const found = root?.type === 'object' ? editsOf(profileText, root, wish, bases) : undefined;
  if (found === undefined) return refuse(phrase('The profile does not hold what is to be changed. Look at it first.'));
  if (!found.ok) return found;
  const edits = found.value;
  const [problem] = readProfile(editedProfile(profileText, edits), bases).problems;
  if (problem === undefined) return found;
  const said = new Set(readProfile(profileText, bases).problems.map(({ message }) => say(message)));
  return refuse(whyNot(problem.message, said.has(say(problem.message))));
}

function whyNot(problem: Phrase, isOld: boolean): Phrase {
  return isOld
    ? phrase('The profile has another problem, which comes first: {0}', problem)
    : phrase('The profile would have a problem afterwards: {0}', problem);
}

function editsOf(
  text: string,
  root: Node,
  wish: ProfileWish,
  bases: Bases | undefined,
): Result<readonly ProfileEdit[]> | undefined {
  if (wish.kind === 'headings') return withHeadings(text, root, wish.headings, bases);
  if (wish.kind === 'confirm') {
    const edits = wish.sums.map((sum) => confirmed(text, root, sum));
    const all = edits.flatMap((one) => one ?? []);
    return edits.includes(undefined) ? undefined : done(all.sort((a, b) => a.offset - b.offset));
  }
  if (wish.kind === 'seen') return withSeen(text, root, wish.seen, readProfile(text, bases).profile);
  const option = optionIn(root, wish.id);
  const base = baseDescribing(bases, wish.id);
  if (wish.kind === 'remove') {
    const edits = base === undefined ? removed(text, root, option) : takenOut(text, root, option, wish.id);
    const samples = findNodeAtLocation(root, ['samples'])?.children ?? [];
    const expected = samples.flatMap((sample) => findNodeAtLocation(sample, ['expect']) ?? []);
    const all = [...(edits ?? []), ...expected.flatMap((one) => notExpected(text, one, wish.id))];
    return edits && done(all.sort((a, b) => a.offset - b.offset));
  }
  if (base !== undefined)
    return refuse(
      phrase('The option "{0}" is described in {1}, which this profile extends. Widen it there.', wish.id, base.name),
    );
  const bits = option && findNodeAtLocation(option, ['bits']);
  const values = option && findNodeAtLocation(option, ['values']);
  if (bits === undefined || values === undefined) return undefined;
  return done(
    [replaced(text, bits, wish.bits), replaced(text, values, wish.values)].sort((a, b) => a.offset - b.offset),
  );
}

/** Each option with one more module on which it was seen, and as sure as that makes it; what its list has already is not told twice. */
function withSeen(
  text: string,
  root: Node,
  seen: readonly SeenOption[],
  { appliesTo }: Pick<Profile, 'appliesTo'>,
): Result<readonly ProfileEdit[]> | undefined {
  const edits: ProfileEdit[] = [];
  for (const { id, observation } of seen) {
    const option = optionIn(root, id);
    if (option?.type !== 'object') return undefined;
    const list = findNodeAtLocation(option, ['seen']);
    if (list !== undefined && list.type !== 'array') return undefined;
    const known = list === undefined ? [] : readSeenList({ node: list, problems: [] });
    if (known.some((one) => mayBeTheSame(one, observation))) continue;
    const said = findNodeAtLocation(option, ['confidence']);
    const now = confidenceBy([...known, observation], appliesTo);
    // What was less sure before it was tried would contradict the list.
    if ((said?.value === 'guess' && now !== 'guess') || (said?.value === 'likely' && now === 'confirmed'))
      edits.push(replaced(text, said, now));
    const written = `{ ${Object.entries(observation)
      .flatMap(([key, value]) => (value === undefined ? [] : `"${key}": ${JSON.stringify(value)}`))
      .join(', ')} }`;
    edits.push(
      ...(list === undefined
        ? appended(
            text,
            option,
            ({ indent, step, lineEnd }) => `"seen": [${lineEnd}${indent}${step}${written}${lineEnd}${indent}]`,
          )
        : appended(text, list, () => written)),
    );
  }
  return edits.length === 0
    ? refuse(phrase('The profile lists that already.'))
    : done(edits.sort((a, b) => a.offset - b.offset));
}

function replaced(text: string, node: Node, value: unknown): ProfileEdit {
  return { offset: node.offset, length: node.length, text: printed(value, styleOf(text, node.offset)) };
}

function removed(text: string, root: Node, option: Node | undefined): readonly ProfileEdit[] | undefined {
  const options = findNodeAtLocation(root, ['options']);
  return options && option && [removedChild(text, options, option)];
}

/** Says in place of an option, or behind the others, that the one of a profile that is extended is none here. */
function takenOut(text: string, root: Node, option: Node | undefined, id: string): readonly ProfileEdit[] | undefined {
  const out = { id, [OUT]: null };
  if (option !== undefined)
    return findNodeAtLocation(option, [OUT]) === undefined ? [replaced(text, option, out)] : undefined;
  const options = findNodeAtLocation(root, ['options']);
  if (options === undefined) return appended(text, root, (style) => `"options": ${printed([out], style)}`);
  return options.type === 'array' ? appended(text, options, (style) => printed(out, style)) : undefined;
}

/** Takes out of what a sample holds what is said of an option, or of each one of several of a kind. */
function notExpected(text: string, expect: Node, id: string): readonly ProfileEdit[] {
  const isOfIt = ({ children }: Node) => {
    const key = String(children?.[0]?.value);
    return key === id || (key.startsWith(`${id}.`) && /^\d+$/.test(key.slice(id.length + 1)));
  };
  const [first, second] = (expect.children ?? []).filter(isOfIt);
  if (first === undefined) return [];
  if (second === undefined) return [removedChild(text, expect, first)];
  const left = (expect.children ?? []).filter((child) => !isOfIt(child));
  const entries = left.map(({ children }) => [String(children?.[0]?.value), children?.[1]?.value]);
  return [
    {
      offset: expect.offset,
      length: expect.length,
      text: printed(Object.fromEntries(entries), styleOf(text, expect.offset)),
    },
  ];
}

function withHeadings(
  text: string,
  root: Node,
  more: readonly string[],
  bases: Bases | undefined,
): Result<readonly ProfileEdit[]> | undefined {
  const notation = findNodeAtLocation(root, ['notation']);
  const headings = notation && findNodeAtLocation(notation, ['headings']);
  const base = baseWith(bases, (one) => findNodeAtLocation(one, ['notation'])?.type === 'object');
  // A list of its own would take the place of the one there.
  if (base !== undefined && headings === undefined)
    return refuse(
      phrase('How the lines are written is said in {0}, which this profile extends. Add the heading there.', base.name),
    );
  if (notation?.type !== 'object') return undefined;
  if (headings === undefined) return done(appended(text, notation, (style) => `"headings": ${printed(more, style)}`));
  if (headings.type !== 'array') return undefined;
  return done(
    appended(text, headings, (style) =>
      more.map((one) => printed(one, style)).join(`,${style.lineEnd}${style.indent}`),
    ),
  );
}

/** A file sum that is a guess no more, with what confirmed it behind the note that it has. */
function confirmed(text: string, root: Node, { at, note }: ConfirmedSum): readonly ProfileEdit[] | undefined {
  const totals = findNodeAtLocation(root, ['totals'])?.children ?? [];
  const total = totals.find(({ offset, length }) => offset === at.start && offset + length === at.end);
  const confidence = total && findNodeAtLocation(total, ['confidence']);
  if (total === undefined || confidence?.value !== 'guess') return undefined;
  const word: ProfileEdit = { offset: confidence.offset, length: confidence.length, text: '"confirmed"' };
  const known = findNodeAtLocation(total, ['note']);
  if (known === undefined) {
    const written = `, "note": ${JSON.stringify(note)}`;
    return [{ ...word, text: `${word.text}${written}` }];
  }
  if (known.type === 'array') return [word, ...appended(text, known, () => JSON.stringify(note))];
  const both = JSON.stringify(`${known.value} ${note}`);
  const second: ProfileEdit = { offset: known.offset, length: known.length, text: both };
  return [word, second];
}
