import { nearestName } from '../base/nearestName.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';
import { readLabel } from './dumpText.js';
import { headingTest } from './headings.js';
import { hexDigitPlaces, readHexGroups } from './hexGroups.js';
import { readOtherLine, strayRow } from './imageText.js';
import { readInWords } from './inWords.js';
import { labelOfNumbers, MOST_NUMBERS } from './label.js';
import type { ByteStore, Notation } from './notation.js';
import { withoutMarks } from './patternBytes.js';
import { type CharacterColumn, characterColumn, inOrderShown, isShownByAddress } from './patternCharacters.js';
import {
  type FieldMatch,
  type FieldTest,
  isLabel,
  isNumber,
  matchFields,
  matchPattern,
  type PatternField,
  type PatternMatch,
  type PatternParts,
} from './patternMatch.js';
import { partsOf } from './patternParts.js';
import { labelWidths, print } from './patternPrint.js';
import { bytesOf, contentOf, type Label, NO_PROBLEMS, type Row } from './row.js';
import { holdsBytes, isHexGroup, whyStray, whyUnread } from './stray.js';
import { turnedBytes, turnedPlace, type Word } from './word.js';

const FIELDS: readonly PatternField[] = ['label', 'label:hex', 'data', 'sum', 'characters', 'skip'];

/**
 * Makes a notation of a pattern of the user's own: literal text with the fields `{label}` (or `{label:hex}`), `{data}`,
 * `{sum}`, `{characters}` and `{skip}`. Bytes that are parted by more than blanks say so: `{data:,}`, `{data:0x,}`, `{data:",}`. A field
 * may have blanks around it; a blank in literal text stands for one or more. The characters beside the bytes come last
 * and must be those of the bytes. Several label fields, one after the other, are the numbers of one label:
 * `{label}-{label:hex}`.
 *
 * `otherwise` says what becomes of lines that do not fit: kept as comments, or reported. `headings` are lines without data,
 * word for word or with `{skip}`. Refused where the pattern does not say clearly which part of a line is what.
 */
export function compilePattern(
  pattern: string,
  otherwise: 'keep' | 'report',
  headings: readonly string[] = [],
): Result<Notation> {
  const parts = partsOf(pattern);
  const why = whyRefused(parts);
  return why === undefined ? done(notationFrom(parts, pattern, otherwise, headings)) : refuse(why);
}

function whyRefused(parts: PatternParts): Phrase | undefined {
  const { fields } = parts;
  const torn = whyTorn(parts);
  if (torn !== undefined) return torn;
  if (fields.length === 0) return phrase('This pattern has no fields. It needs {0} and {1}.', '{label}', '{data}');
  const names = fields.map(({ field }) => nameOf(field));
  const unknown = names.find((name) => !FIELDS.includes(name));
  if (unknown !== undefined) {
    const near = nearestName(unknown, FIELDS) ?? FIELDS.join(', ');
    return phrase('"{0}" is no field of a pattern. Is one of these meant: {1}?', unknown, near);
  }
  const kinds = names.map((name) => (name === 'label:hex' ? 'label' : name));
  const lacking = (['label', 'data'] as const).find((kind) => !kinds.includes(kind));
  if (lacking !== undefined) return phrase('This pattern lacks "{0}".', `{${lacking}}`);
  const repeated = kinds.find((kind, i) => kind !== 'skip' && kind !== 'label' && kinds.indexOf(kind) !== i);
  if (repeated !== undefined) return phrase('"{0}" stands in this pattern twice.', `{${repeated}}`);
  const shown = names.indexOf('characters');
  if (shown >= 0 && shown < names.length - 1)
    return phrase('"{0}" comes last in a pattern: the characters go to the end of the line.', '{characters}');
  const numbers = kinds.flatMap((kind, i) => (kind === 'label' ? i : []));
  if (numbers.length > MOST_NUMBERS) return phrase('A label has {0} numbers at most.', MOST_NUMBERS);
  if (numbers.some((at, i) => at !== (numbers[0] as number) + i))
    return phrase(
      '"{0}" stands in this pattern twice, with another field between: put the numbers of a label side by side.',
      '{label}',
    );
  const unclear = fields.findIndex(
    (part, i) =>
      // Characters tell where data end, and nothing else.
      !(names[i + 1] === 'characters' && part.field === 'data') && runsOn(part, i === fields.length - 1),
  );
  if (unclear < 0) return undefined;
  const [here, next] = [fields[unclear], fields[unclear + 1]];
  if (next === undefined || here?.after !== '') {
    return phrase(
      'After "{0}" comes "{1}", which could be part of it: nothing tells where the field ends.',
      `{${here && nameOf(here.field)}}`,
      here?.after.trim().charAt(0) ?? '',
    );
  }
  return phrase(
    'Nothing between "{0}" and "{1}" tells where one ends and the other begins. Where sum bytes follow the data, leave "{2}" out: the lines of the profile say how many they are.',
    `{${nameOf(here.field)}}`,
    `{${nameOf(next.field)}}`,
    '{sum}',
  );
}

/** Why a pattern is not a whole one: a field in it is opened and not closed. */
export function whyTorn({ lead, fields }: PatternParts): Phrase | undefined {
  const torn = [lead, ...fields.map(({ after }) => after)].flatMap((text) => /\{\w.*/.exec(text)?.[0] ?? [])[0];
  return torn === undefined ? undefined : phrase('The field "{0}" has no end: put "}" behind its name.', torn);
}

/** What the pattern calls a field. */
function nameOf(field: PatternField): PatternField {
  if (!isNumber(field)) return field;
  return field === 'number' ? 'label' : 'label:hex';
}

/** Whether the text after a field could as well be part of the field. */
function runsOn({ field, after, between }: PatternParts['fields'][number], isLast: boolean): boolean {
  if (after === '') return !isLast;
  if (field === 'skip' || field === 'characters') return false;
  if (between !== undefined && after.startsWith(between.mark)) return true;
  if (field === 'number') return /^\w/.test(after);
  return field === 'label' ? /^[\w.-]/.test(after) && !/^[.-] $/.test(after) : /^[0-9a-f]/i.test(after);
}

function notationFrom(
  parts: PatternParts,
  pattern: string,
  otherwise: 'keep' | 'report',
  headings: readonly string[],
): Notation {
  const form = notationOfBytes(parts, pattern, otherwise, headings);
  if (!isOfAddresses(parts)) return form;
  const inWords = (word: Word): Notation => {
    const turned = notationOfBytes({ ...parts, word }, pattern, otherwise, headings);
    return { ...turned, ...readInWords(turned, word) };
  };
  return { ...form, inWords };
}

function notationOfBytes(
  parts: PatternParts,
  pattern: string,
  otherwise: 'keep' | 'report',
  headings: readonly string[],
): Notation {
  const isHeading = headingTest(headings, parts);
  const { word } = parts;
  return {
    id: 'pattern',
    commentSign: '#',
    commentBehind: undefined,
    headers: 'commented',
    blanks: 'kept',
    image: undefined,
    ...numbersOfLabels(parts),
    readRow: (text, store) =>
      isHeading(text)
        ? { kind: 'comment', text, problems: NO_PROBLEMS }
        : (readRow(text, store, parts) ?? otherLine(text, parts, pattern, otherwise)),
    digitPlaces: ({ text }) =>
      byteSpans(parts, matchPattern(text, parts)).flatMap(({ span, between }) =>
        hexDigitPlaces(withoutMarks(text, span, between), span.start, span.end),
      ),
    characters: (row) => {
      const match = matchPattern(row.text, parts);
      const digits = digitsOf(row.text, match);
      const isTurned = word !== undefined && !isShownByAddress(digits);
      const column = columnOf(row.text, match, isTurned ? turnedBytes(bytesOf(row), word) : bytesOf(row));
      if (column === undefined) return undefined;
      return (byte) => {
        const at = isTurned ? turnedPlace(byte, word) : byte;
        return at < column.first || at >= column.first + column.count ? undefined : column.start + at - column.first;
      };
    },
    labelSpan: ({ kind, text }) =>
      kind === 'record' || kind === 'broken' ? matchPattern(text, parts)?.label : undefined,
    print: (record, widths) => print(record, pattern, widths),
    labelWidths: (rows) => labelWidths(rows, parts),
  };
}

/** Whether lines may be what is at an address: their label is one number, and no sum is behind the data. */
function isOfAddresses({ fields }: PatternParts): boolean {
  return fields.every(({ field }) => field !== 'sum' && !isNumber(field));
}

/** A label of one field that is no hex may be a word, and of any kind. */
function numbersOfLabels({ fields }: PatternParts): Pick<Notation, 'numbers'> {
  const labels = fields.filter(({ field }) => isNumber(field) || isLabel(field));
  return labels[0]?.field === 'label' ? {} : { numbers: labels.length };
}

function readRow(text: string, store: ByteStore, parts: PatternParts): Row | undefined {
  const match = matchPattern(text, parts);
  if (match === undefined) return undefined;
  const label = labelIn(text, match);
  const from = store.used;
  const problems = byteSpans(parts, match).flatMap(({ span, between }) =>
    readHexGroups(withoutMarks(text, span, between), span.start, span.end, store),
  );
  if (problems.length > 0) return { kind: 'broken', text, label, problems };
  const count = store.used - from;
  const row = { kind: 'record', text, label, type: undefined, store: store.bytes, from, count } as const;
  const { characters } = match;
  const shown = inOrderShown(digitsOf(text, match), store.bytes.subarray(from, store.used), parts.word);
  if (characters === undefined || columnOf(text, match, shown) !== undefined) return { ...row, problems: NO_PROBLEMS };
  const message = phrase('The characters here are not those of the bytes of this line. One of them is wrong.');
  const problem = { code: 'text-unreadable', start: characters.start, end: characters.end, message } as const;
  return { ...row, problems: [problem], inDoubt: true };
}

function digitsOf(text: string, match: PatternMatch | undefined): string {
  return match === undefined ? '' : text.slice(match.data.start, match.data.end);
}

/** Where the bytes of a line are, data first. */
function byteSpans({ fields }: PatternParts, match: PatternMatch | undefined) {
  return (['data', 'sum'] as const).flatMap((name) => {
    const span = match?.[name];
    return span === undefined ? [] : [{ span, between: fields.find(({ field }) => field === name)?.between }];
  });
}

function columnOf(text: string, match: FieldMatch | undefined, bytes: Uint8Array): CharacterColumn | undefined {
  return match?.characters && characterColumn(text, match.characters, bytes);
}

function labelIn(text: string, { label, isHex, numbers }: PatternMatch): Label {
  if (numbers !== undefined) {
    const numberIn = (digits: string, radix: number) => (radix === 16 ? Number.parseInt(digits, 16) : Number(digits));
    return labelOfNumbers(numbers.map(({ start, end, radix }) => numberIn(text.slice(start, end), radix)));
  }
  const written = text.slice(label.start, label.end);
  return isHex ? Number.parseInt(written, 16) : readLabel(written);
}

function otherLine(text: string, parts: PatternParts, pattern: string, otherwise: 'keep' | 'report'): Row {
  const row = readOtherLine(text);
  if (row.kind !== 'comment') return row;
  const sign = /^\s*(#|;|\/\/)/.exec(text)?.[1];
  if (sign === '#' || (otherwise === 'keep' && sign !== undefined)) {
    // A pattern may begin with what is a comment sign elsewhere.
    if (!parts.lead.startsWith(sign)) return row;
  }
  if (otherwise === 'keep') {
    const why = hasShapeOf(text, parts) ? whyUnread('#') : whyStray(text, '#');
    if (why !== undefined) return strayRow(text, why);
    return sign === undefined && holdsBytes(text) ? { ...row, isPassed: true } : row;
  }
  const message = phrase(
    'This line does not fit the pattern "{0}" of the profile. Correct it, or put # before it.',
    pattern,
  );
  const end = Math.min(contentOf(text).trimEnd().length, 120);
  return { kind: 'broken', text, label: undefined, problems: [{ code: 'text-unreadable', start: 0, end, message }] };
}

/**
 * Whether a line that does not fit a pattern has its shape all the same: the literal text in its places, and something
 * like bytes where the bytes should be. A word as the label of one number is a value with its name.
 */
export function hasShapeOf(text: string, parts: PatternParts): boolean {
  const match = matchFields(text, parts, LOOSELY);
  if (match?.data === undefined) return false;
  const { start, end } = match.label ?? match.data;
  const label = text.slice(start, end);
  const groups = text.slice(match.data.start, match.data.end).split(/[\s|,;]+/);
  return groups.length > 1 || /\d/.test(label) || /^[0-9a-f]+$/i.test(label);
}

const LOOSELY: FieldTest = {
  label: (text) => text !== '',
  'label:hex': (text) => text !== '',
  number: (text) => text !== '',
  'number:hex': (text) => text !== '',
  data: isLikeBytes,
  sum: isLikeBytes,
  skip: () => true,
  characters: () => true,
};

/** Whether half of some groups or more are bytes, and the others short and half of hex digits, or all but one in five. */
function isLikeBytes(text: string): boolean {
  const groups = text.split(/[\s|,;]+/).filter((group) => group !== '');
  const other = groups.filter((group) => !isHexGroup(group));
  const isDamaged = (group: string) => {
    const digits = group.match(/[0-9a-f]/gi)?.length ?? 0;
    return group.length < 4 || /\d/.test(group) ? 2 * digits >= group.length : 5 * digits >= 4 * group.length;
  };
  return groups.length > 0 && 2 * other.length <= Math.max(2, groups.length) && other.every(isDamaged);
}
