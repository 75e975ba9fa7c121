import { nearestName } from '../base/nearestName.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';
import { readLabel } from './dumpText.js';
import { hexDigitPlaces, readHexGroups } from './hexGroups.js';
import { readOtherLine, strayRow } from './imageText.js';
import { labelOfNumbers, MOST_NUMBERS } from './label.js';
import type { ByteStore, Notation } from './notation.js';
import {
  FIELD,
  type FieldTest,
  isLabel,
  isNumber,
  matchPattern,
  type PatternField,
  type PatternMatch,
  type PatternParts,
} from './patternMatch.js';
import { labelWidths, print } from './patternPrint.js';
import { contentOf, type Label, NO_PROBLEMS, type Row } from './row.js';
import { isHexGroup, whyStray, whyUnread } from './stray.js';

const FIELDS: readonly PatternField[] = ['label', 'label:hex', 'data', 'sum', 'skip'];

/**
 * Makes a notation of a pattern of the user's own: literal text with the fields `{label}` (or `{label:hex}`), `{data}`,
 * `{sum}` and `{skip}`. A field may have blanks around it; a blank in literal text stands for one or more. Several label
 * fields, one after the other, are the numbers of one label: `{label}-{label:hex}`.
 *
 * `otherwise` says what becomes of lines that do not fit: kept as comments, or reported. Refused where the pattern does
 * not say clearly which part of a line is what.
 */
export function compilePattern(pattern: string, otherwise: 'keep' | 'report'): Result<Notation> {
  const parts = partsOf(pattern);
  const why = whyRefused(parts);
  return why === undefined ? done(notationFrom(parts, pattern, otherwise)) : refuse(why);
}

/** The pattern taken apart; its fields are not yet known to be any. */
function partsOf(pattern: string): PatternParts {
  const [lead = '', ...rest] = pattern.trim().replace(/\s+/g, ' ').split(FIELD);
  const count = rest.length / 2;
  const fields = Array.from({ length: count }, (_, i) => {
    const field = rest[2 * i] as PatternField;
    const after = rest[2 * i + 1] ?? '';
    // Bytes may have blanks around them, so that blanks between them and other text ask for nothing. Blanks alone part
    // other fields, but not bytes, which have blanks among them.
    if (after === ' ') return { field, after: isBytes(field) ? '' : after };
    const start = isBytes(field) ? after.trimStart() : after;
    return { field, after: isBytes(rest[2 * i + 2]) ? start.trimEnd() : start };
  });
  return { lead: isBytes(rest[0]) ? lead.trimEnd() : lead, fields: withNumbers(fields) };
}

/** Several label fields are the numbers of one label. */
function withNumbers(fields: PatternParts['fields']): PatternParts['fields'] {
  if (fields.filter(({ field }) => isLabel(field)).length < 2) return fields;
  return fields.map(({ field, after }) => {
    if (!isLabel(field)) return { field, after };
    return { field: field === 'label' ? 'number' : 'number:hex', after };
  });
}

function isBytes(field: string | undefined): boolean {
  return field === 'data' || field === 'sum';
}

function whyRefused({ fields }: PatternParts): Phrase | undefined {
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
  const numbers = kinds.flatMap((kind, i) => (kind === 'label' ? i : []));
  if (numbers.length > MOST_NUMBERS) return phrase('A label has {0} numbers at most.', MOST_NUMBERS);
  if (numbers.some((at, i) => at !== (numbers[0] as number) + i))
    return phrase(
      '"{0}" stands in this pattern twice, with another field between: put the numbers of a label side by side.',
      '{label}',
    );
  const unclear = fields.findIndex(({ field, after }, i) => runsOn(field, after, i === fields.length - 1));
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

/** What the pattern calls a field. */
function nameOf(field: PatternField): PatternField {
  if (!isNumber(field)) return field;
  return field === 'number' ? 'label' : 'label:hex';
}

/** Whether the text after a field could as well be part of the field. */
function runsOn(field: PatternField, after: string, isLast: boolean): boolean {
  if (after === '') return !isLast;
  if (field === 'skip') return false;
  if (field === 'number') return /^\w/.test(after);
  return field === 'label' ? /^[\w.-]/.test(after) : /^[0-9a-f]/i.test(after);
}

function notationFrom(parts: PatternParts, pattern: string, otherwise: 'keep' | 'report'): Notation {
  return {
    id: 'pattern',
    commentSign: '#',
    commentBehind: undefined,
    headers: 'commented',
    blanks: 'kept',
    image: undefined,
    ...numbersOfLabels(parts),
    readRow: (text, store) => readRow(text, store, parts) ?? otherLine(text, parts, pattern, otherwise),
    digitPlaces: ({ text }) => {
      const { data, sum } = matchPattern(text, parts) ?? {};
      return [data, sum].flatMap((span) => (span ? hexDigitPlaces(text, span.start, span.end) : []));
    },
    labelSpan: ({ kind, text }) =>
      kind === 'record' || kind === 'broken' ? matchPattern(text, parts)?.label : undefined,
    print: (record, widths) => print(record, pattern, widths),
    labelWidths: (rows) => labelWidths(rows, parts),
  };
}

/** A label of one field that is no hex may be a word, and of any kind. */
function numbersOfLabels({ fields }: PatternParts): Pick<Notation, 'numbers'> {
  const labels = fields.filter(({ field }) => isNumber(field) || isLabel(field));
  return labels.length === 1 && labels[0]?.field === 'label' ? {} : { numbers: labels.length };
}

function readRow(text: string, store: ByteStore, parts: PatternParts): Row | undefined {
  const match = matchPattern(text, parts);
  if (match === undefined) return undefined;
  const label = labelIn(text, match);
  const from = store.used;
  const problems = [match.data, match.sum].flatMap((span) =>
    span === undefined ? [] : readHexGroups(text, span.start, span.end, store),
  );
  if (problems.length > 0) return { kind: 'broken', text, label, problems };
  const count = store.used - from;
  return { kind: 'record', text, label, type: undefined, store: store.bytes, from, count, problems: NO_PROBLEMS };
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
    return why === undefined ? row : strayRow(text, why);
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
function hasShapeOf(text: string, parts: PatternParts): boolean {
  const match = matchPattern(text, parts, LOOSELY);
  if (match === undefined) return false;
  const label = text.slice(match.label.start, match.label.end);
  const groups = text.slice(match.data.start, match.data.end).split(/[\s|]+/);
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
};

/** Whether half of some groups or more are bytes, and the others short and half of hex digits, or all but one in five. */
function isLikeBytes(text: string): boolean {
  const groups = text.split(/[\s|]+/).filter((group) => group !== '');
  const other = groups.filter((group) => !isHexGroup(group));
  const isDamaged = (group: string) => {
    const digits = group.match(/[0-9a-f]/gi)?.length ?? 0;
    return group.length < 4 || /\d/.test(group) ? 2 * digits >= group.length : 5 * digits >= 4 * group.length;
  };
  return groups.length > 0 && 2 * other.length <= Math.max(2, groups.length) && other.every(isDamaged);
}
