import { findNodeAtLocation, type Node, parseTree, visit } from 'jsonc-parser';
import { phrase } from '../../base/phrase.js';
import { done, type Result, refuse } from '../../base/result.js';
import { editedProfile, type ProfileEdit, removedChild } from '../../profile/profileText.js';
import { readProfile } from '../../profile/readProfile.js';
import type { ProfileToShare, SharedCopy } from './copies.js';
import { personalLooksIn } from './looksPersonal.js';
import { maskedText } from './maskedText.js';
import type { Mask } from './masks.js';

/** Keys of a profile whose texts are paths of other profiles. */
const NAMING = ['profile', 'extends'];

interface NamedPath {
  readonly path: string;
  readonly start: number;
  readonly end: number;
}

/** The paths of other profiles that the text of a profile has. */
export function profilesNamedIn(text: string): readonly string[] {
  return [...new Set(pathsIn(text).map(({ path }) => path))];
}

function pathsIn(text: string): readonly NamedPath[] {
  const found: NamedPath[] = [];
  const visit = (node: Node) => {
    const [key, value] = node.type === 'property' ? (node.children ?? []) : [];
    if (NAMING.includes(key?.value as string))
      for (const one of value?.type === 'array' ? (value.children ?? []) : value === undefined ? [] : [value])
        if (one.type === 'string')
          found.push({ path: String(one.value), start: one.offset, end: one.offset + one.length });
    for (const child of node.children ?? []) visit(child);
  };
  const root = parseTree(text, [], { allowTrailingComma: true });
  if (root !== undefined) visit(root);
  return found;
}

/** Edits that leave out who saw an option, so that every row stays in its place. */
function namesIn(text: string): readonly ProfileEdit[] {
  const root = parseTree(text, [], { allowTrailingComma: true });
  const options = (root && findNodeAtLocation(root, ['options'])?.children) ?? [];
  const entries = options.flatMap((option) => findNodeAtLocation(option, ['seen'])?.children ?? []);
  return entries.flatMap((entry) => {
    const by = findNodeAtLocation(entry, ['by'])?.parent;
    if (by === undefined) return [];
    const edit = removedChild(text, entry, by);
    const gone = text.slice(edit.offset, edit.offset + edit.length);
    return { ...edit, text: breaksIn(gone) };
  });
}

/** Edits that leave out what samples show of personal options, so that every row stays in its place. */
function expectedIn(text: string, personal: ReadonlySet<string>): readonly ProfileEdit[] {
  const root = parseTree(text, [], { allowTrailingComma: true });
  const samples = (root && findNodeAtLocation(root, ['samples'])?.children) ?? [];
  return samples.flatMap((sample) => {
    const expect = findNodeAtLocation(sample, ['expect']);
    if (expect?.type !== 'object') return [];
    const keyOf = ({ children = [] }: Node) => String(children[0]?.value);
    const all = expect.children ?? [];
    const kept = all.filter((entry) => !personal.has(keyOf(entry)));
    if (kept.length === all.length) return [];
    const { offset, length } = expect;
    const entries = kept.map((entry) => text.slice(entry.offset, entry.offset + entry.length)).join(', ');
    const breaks = breaksIn(text.slice(offset, offset + length)).slice(breaksIn(entries).length);
    return [{ offset, length, text: `{ ${entries}${breaks} }` }];
  });
}

/** Files that evidence names, as a search writes it: many are called by a plate or a customer. */
function filesNamedIn(line: string): readonly string[] {
  const evidence = /"evidence"\s*:(.*)$/.exec(line)?.[1] ?? '';
  return (
    evidence.match(/[^\s"(),;:]+\.(?:cfgdump|txt|bin|hex|ihx|s19|srec|mot|eep|dmp|dump|xxd)(?=[\s"(),;:]|$)/gi) ?? []
  );
}

function breaksIn(text: string): string {
  return text.replace(/[^\r\n]/g, '');
}

/** What people wrote into a profile for people to read; all else are its rules. */
const REMARKS: readonly string[] = [
  'title',
  'group',
  'why',
  'note',
  'evidence',
  'caution',
  'by',
  'on',
  'dump',
  ...NAMING,
];
/** A shorter value is in any text, and says nothing of anybody there. */
const LEAST_IN_REMARKS = 3;
/** From so many characters on, a value is not handed on in a rule either. */
const LEAST_IN_RULES = 5;

interface Span {
  readonly start: number;
  readonly end: number;
}

/** Where the text of a profile has remarks, and comments. */
function remarksIn(text: string): readonly Span[] {
  const spans: Span[] = [];
  let key = '';
  visit(
    text,
    {
      onObjectProperty: (name) => {
        key = name;
      },
      onLiteralValue: (value, offset, length) => {
        if (typeof value === 'string' && REMARKS.includes(key))
          spans.push({ start: offset + 1, end: offset + length - 1 });
      },
      onComment: (offset, length) => spans.push({ start: offset, end: offset + length }),
    },
    { allowTrailingComma: true },
  );
  return spans;
}

/** Masks what people wrote for people. A rule is never changed: one that holds what is to be masked cannot be handed on. */
function maskedRemarks(text: string, masks: readonly Mask[]): Result<ReturnType<typeof maskedText>> {
  const spans = remarksIn(text);
  const telling = masks.filter(({ text: { length }, asWord }) => asWord !== true && length >= LEAST_IN_RULES);
  // What is in one line belongs together; what goes on in the next one is found in the whole.
  const { text: whole, found } = maskedText(text, telling);
  const inRule = [...whole].findIndex(
    (character, at) => character !== text[at] && !spans.some(({ start, end }) => at >= start && at < end),
  );
  if (inRule >= 0)
    return refuse(
      phrase(
        'Row {0} of the profile holds in a rule what is to be masked, and no rule is changed. Write the profile without it, or do not hide it.',
        text.slice(0, inRule).split('\n').length,
      ),
    );
  const short = masks.filter((mask) => mask.text.length >= LEAST_IN_REMARKS && !telling.includes(mask));
  return done(
    [...spans].reduceRight(
      (now, { start, end }) => {
        const remark = maskedText(now.text.slice(start, end), short);
        return {
          text: now.text.slice(0, start) + remark.text + now.text.slice(end),
          found: [...now.found, ...remark.found],
        };
      },
      { text: whole, found },
    ),
  );
}

/** A profile for others: the same but for values that are masked, and for what the files are called that it names. */
export function maskedProfile(
  { file, name, text, names }: ProfileToShare,
  masks: readonly Mask[],
  copies: ReadonlyMap<string, string>,
  personal: ReadonlySet<string>,
): Result<SharedCopy> {
  const unnamed = namesIn(text);
  const unexpected = expectedIn(text, personal);
  const removed = [...unnamed, ...unexpected].sort((a, b) => a.offset - b.offset);
  let renamed = editedProfile(text, removed);
  for (const { path, start, end } of [...pathsIn(renamed)].reverse()) {
    const copy = copies.get(names.get(path) ?? '');
    if (copy !== undefined) renamed = renamed.slice(0, start) + JSON.stringify(copy) + renamed.slice(end);
  }
  const lines = renamed.split(/(?<=\n)/);
  const remarks = maskedRemarks(renamed, masks);
  if (!remarks.ok) return remarks;
  const whole = remarks.value.text;
  const [before, after] = [readProfile(text).problems.length, readProfile(whole).problems.length];
  if (after > before) return refuse(phrase('With its personal values masked it would be no good profile any more.'));
  const rowOf = (offset: number) => text.slice(0, offset).split('\n').length;
  const leftOut = unnamed.map(({ offset, length }) =>
    phrase('Row {0}: who saw an option is left out', rowOf(offset + length)),
  );
  const noLonger = unexpected.map(({ offset }) =>
    phrase('Row {0}: what a sample shows of personal options is left out', rowOf(offset)),
  );
  const masked = whole
    .split(/(?<=\n)/)
    .flatMap((line, row) => (line === lines[row] ? [] : phrase('Row {0}: masked', row + 1)));
  return done({
    file,
    name: copies.get(file) ?? name,
    text: whole,
    headers: '',
    found: [
      ...remarks.value.found,
      ...removed.flatMap(({ offset, length }) => maskedText(text.slice(offset, offset + length), masks).found),
    ],
    says: [],
    masked: [...leftOut, ...noLonger, ...masked],
    left: whole.split('\n').flatMap((line, row) => [
      ...personalLooksIn(
        row,
        line,
        masks.map(({ mask }) => mask),
      ),
      ...filesNamedIn(line).map((one) => phrase('Row {0}: "{1}" is the name of a file', row + 1, one)),
    ]),
    seal: undefined,
  });
}
