import { findNodeAtLocation, getNodeValue, type Node, parseTree } from 'jsonc-parser';
import { csvText, readCsv } from '../base/csv.js';
import { phrase } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';
import type { Bases } from '../profile/extends.js';
import { editedProfile, type ProfileEdit, removedChild } from '../profile/profileText.js';
import { readProfile } from '../profile/readProfile.js';

/** The columns of a sheet of options. What is in `place` and the numbers in `values` stay as they are. */
const COLUMNS = ['id', 'title', 'group', 'place', 'values', 'note'] as const;
const TEXTS = ['title', 'group', 'note'] as const;

/** What is no part of where an option is and how its bits are read. */
const NOT_PLACE = [...COLUMNS, 'needs', 'excludes', 'hazard', 'confidence', 'evidence', 'seen', 'personal'];

/** The options of a profile's own text as CSV. */
export function sheetOfOptions(profileText: string): string {
  const rows = optionsIn(profileText).map((option) => [
    stringIn(option, 'id'),
    stringIn(option, 'title'),
    stringIn(option, 'group'),
    placeOf(option),
    wordsOf(option)
      .map(({ raw, word }) => `${raw} = ${inOneLine(word)}`)
      .join('\n'),
    stringIn(option, 'note'),
  ]);
  return csvText([COLUMNS, ...rows]);
}

/** A profile's text with the titles, groups, words and notes of a sheet, and how many options these change. */
export interface SheetTaken {
  readonly text: string;
  readonly changed: readonly string[];
  /** Whether words for values are other ones: samples and retrofits may name the old ones. */
  readonly changesWords: boolean;
}

/** Takes a sheet into a profile. Refused where anything in it contradicts the profile: then nothing is taken. */
export function takeSheet(profileText: string, csv: string, bases?: Bases): Result<SheetTaken> {
  const [fault] = readProfile(profileText, bases).problems;
  if (fault !== undefined) return refuse(phrase('The profile has a problem, which comes first: {0}', fault.message));
  const read = readCsv(csv);
  if (!read.ok) return read;
  const [head = [], ...rows] = read.value;
  const names = head.map((name) => name.trim().toLowerCase());
  for (const name of COLUMNS) {
    const count = names.filter((one) => one === name).length;
    if (count === 0) return refuse(phrase('The sheet has no column "{0}". Export it anew and change that one.', name));
    if (count > 1) return refuse(phrase('The sheet has the column "{0}" twice.', name));
  }
  const options = new Map(optionsIn(profileText).map((option) => [stringIn(option, 'id'), option]));
  const seen = new Set<string>();
  const edits: ProfileEdit[] = [];
  const changed: string[] = [];
  let changesWords = false;
  for (const row of rows) {
    const cell = (name: (typeof COLUMNS)[number]) => row[names.indexOf(name)] ?? '';
    const id = cell('id').trim();
    const option = options.get(id);
    if (option === undefined) return refuse(phrase('The sheet names "{0}", which is no option of the profile.', id));
    if (seen.has(id)) return refuse(phrase('The sheet has the option "{0}" twice.', id));
    seen.add(id);
    if (cell('place').trim() !== placeOf(option))
      return refuse(
        phrase(
          'The option "{0}" is at {1} in the profile, and at {2} in the sheet.',
          id,
          placeOf(option),
          cell('place'),
        ),
      );
    const words = wordEdits(option, id, cell('values'));
    if (!words.ok) return words;
    const texts = TEXTS.flatMap((name) => textEdits(profileText, option, name, cell(name)));
    if (words.value.length > 0) changesWords = true;
    if (words.value.length + texts.length > 0) changed.push(id);
    edits.push(...words.value, ...texts);
  }
  const text = editedProfile(
    profileText,
    edits.sort((a, b) => a.offset - b.offset),
  );
  const [problem] = readProfile(text, bases).problems;
  return problem === undefined
    ? done({ text, changed, changesWords })
    : refuse(phrase('The profile would have a problem afterwards: {0}', problem.message));
}

function wordEdits(option: Node, id: string, cell: string): Result<readonly ProfileEdit[]> {
  const wanted = new Map<string, string>();
  for (const line of cell.split(/\r\n|\r|\n/).filter((one) => one.trim() !== '')) {
    const [whole, raw = '', word = ''] = /^\s*(\S+?)\s*=\s?(.*)$/.exec(line) ?? [];
    if (whole === undefined)
      return refuse(phrase('The option "{0}": "{1}" is no value and its word, such as "1 = yes".', id, line));
    if (wanted.has(raw)) return refuse(phrase('The option "{0}" has the value {1} twice in the sheet.', id, raw));
    wanted.set(raw, word);
  }
  const known = wordsOf(option);
  const [unknown] = [...wanted.keys()].filter((raw) => !known.some((one) => one.raw === raw));
  if (unknown !== undefined)
    return refuse(phrase('The option "{0}" has no value {1} in the profile. Describe it there first.', id, unknown));
  const missing = known.find(({ raw }) => !wanted.has(raw));
  if (missing !== undefined)
    return refuse(phrase('The value {1} of the option "{0}" is missing in the sheet.', id, missing.raw));
  return done(
    known.flatMap(({ raw, word, node }) => {
      const now = wanted.get(raw) ?? inOneLine(word);
      return now === inOneLine(word) ? [] : [{ offset: node.offset, length: node.length, text: JSON.stringify(now) }];
    }),
  );
}

function textEdits(
  profileText: string,
  option: Node,
  name: (typeof TEXTS)[number],
  given: string,
): readonly ProfileEdit[] {
  const cell = given.replaceAll('\r\n', '\n');
  if (cell === stringIn(option, name)) return [];
  const node = findNodeAtLocation(option, [name]);
  if (node === undefined) {
    const id = findNodeAtLocation(option, ['id']);
    const end = id === undefined ? option.offset + 1 : id.offset + id.length;
    return [{ offset: end, length: 0, text: `, ${JSON.stringify(name)}: ${JSON.stringify(cell)}` }];
  }
  if (cell === '' && node.parent !== undefined) return [removedChild(profileText, option, node.parent)];
  const written = JSON.stringify(node.type === 'array' ? cell.split('\n') : cell);
  return [{ offset: node.offset, length: node.length, text: written }];
}

function optionsIn(profileText: string): readonly Node[] {
  const root = parseTree(profileText, [], { allowTrailingComma: true });
  return (root && findNodeAtLocation(root, ['options'])?.children?.filter(({ type }) => type === 'object')) ?? [];
}

/** A text, or a list of texts with a line for each. */
function stringIn(option: Node, name: string): string {
  const node = findNodeAtLocation(option, [name]);
  const texts = (node?.type === 'array' ? node.children : undefined) ?? (node === undefined ? [] : [node]);
  return texts.flatMap(({ value }) => (typeof value === 'string' ? value : [])).join('\n');
}

/** In a cell each line is the word of another value. */
function inOneLine(word: string): string {
  return word.replace(/\s*[\r\n]\s*/g, ' ');
}

/** Where an option is and how its bits are read, as its profile writes it. */
function placeOf(option: Node): string {
  return (option.children ?? [])
    .flatMap(({ children: [key, value] = [] }) =>
      key === undefined || value === undefined || NOT_PLACE.includes(String(key.value))
        ? []
        : `${String(key.value)}: ${JSON.stringify(getNodeValue(value))}`,
    )
    .join(', ');
}

interface Word {
  readonly raw: string;
  readonly word: string;
  readonly node: Node;
}

function wordsOf(option: Node): readonly Word[] {
  return (findNodeAtLocation(option, ['values'])?.children ?? []).flatMap(({ children: [key, value] = [] }) =>
    key !== undefined && typeof value?.value === 'string'
      ? { raw: String(key.value), word: value.value, node: value }
      : [],
  );
}
