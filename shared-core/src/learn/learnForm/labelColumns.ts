import { MOST_NUMBERS } from '../../format/label.js';
import { commonest } from './dumps.js';

/** Which words of a line are its label, and the fields of a pattern in their place. */
export interface LabelColumns {
  readonly first: number;
  /** Fields with the text between them: one for each word from the first on. */
  readonly fields: readonly string[];
}

type Radix = 10 | 16;

/** Most lines must be numbered as the rule says; a few may be damaged, or no lines. */
const MOST = 0.8;

/** Times rise as labels of several numbers do, but begin anew more often. */
const MOST_FALLING = 0.05;

/**
 * Finds the words that number the lines, best first: several words side by side that are the numbers of one label, one
 * that counts up, or one that rises. `between` is what is between a word and the next, where it is the same in all lines.
 */
export function labelsAmong(
  columns: readonly (readonly string[])[],
  between: (column: number) => string | undefined,
): readonly LabelColumns[] {
  const joined = (marks: RegExp) => joinedColumns(columns, between, marks, numberedBy);
  // Letters before each number may be hex digits too: "A1-B01".
  const lettered = joinedColumns(columns, between, /^[-./: ]$/, (some) =>
    letteredBy(some, (leads) => !leads.includes('')),
  );
  const partly = joinedColumns(columns, between, /^[-./]$/, (some) => letteredBy(some, (leads) => leads.includes('')));
  // Of several columns that count up the one that does so most evenly is the label, and the one next to the bytes.
  const single = (test: (numbers: readonly number[]) => boolean) =>
    columns
      .flatMap((words, first) => fieldsOf(words, test).map((one) => ({ ...one, first })))
      .sort((a, b) => b.steps - a.steps || b.count - a.count || b.first - a.first)
      .map(({ first, field }): LabelColumns => ({ first, fields: [field] }));
  // Times of day are joined by ":" and rise too.
  return [...lettered, ...joined(/^[-./]$/), ...partly, ...single(isCounting), ...joined(/^:$/), ...single(isRising)];
}

/** Words side by side, with one of these marks between them, that are the numbers of one label by the fields that `fieldsIn` finds. */
function joinedColumns(
  columns: readonly (readonly string[])[],
  between: (column: number) => string | undefined,
  mark: RegExp,
  fieldsIn: (some: readonly (readonly string[])[]) => readonly (readonly string[])[],
): readonly LabelColumns[] {
  const found: LabelColumns[] = [];
  for (let first = 0; first < columns.length; first++) {
    for (let count = MOST_NUMBERS; count > 1; count--) {
      const some = columns.slice(first, first + count);
      if (some.length < count || !some.slice(1).every((_, i) => mark.test(between(first + i) ?? ''))) continue;
      found.push(...fieldsIn(some).map((fields) => ({ first, fields })));
    }
  }
  return found;
}

/** The fields of several numbers of one label with letters before them that are the same in most lines, where these are as wanted. */
function letteredBy(
  columns: readonly (readonly string[])[],
  isWanted: (leads: readonly string[]) => boolean,
): readonly (readonly string[])[] {
  const leads = columns.map((words) => leadOf(words));
  if (leads.every((lead) => lead === '') || !isWanted(leads)) return [];
  const without = columns.map((words, i) => {
    const lead = leads[i] ?? '';
    return words.map((word) => (word.startsWith(lead) ? word.slice(lead.length) : ''));
  });
  return numberedBy(without).map((fields) => fields.map((field, i) => (leads[i] ?? '') + field));
}

/** The letters with which most of some words begin. */
function leadOf(words: readonly string[]): string {
  const isCommon = (lead: string) => words.filter((word) => word.startsWith(lead)).length >= MOST * words.length;
  return leadsOf(words).find(isCommon) ?? '';
}

/** The fields of one column, with letters before it that are the same in all lines; likeliest first. */
function fieldsOf(words: readonly string[], test: (numbers: readonly number[]) => boolean) {
  return leadsOf(words)
    .filter((lead) => words.filter((word) => word.startsWith(lead)).length >= MOST * words.length)
    .flatMap((lead) =>
      radixesOf(words.map((word) => (word.startsWith(lead) ? word.slice(lead.length) : '')))
        .filter(({ numbers }) => test(numbers))
        .map(({ radix, numbers }) => ({
          field: lead + fieldOf(radix),
          steps: evenSteps(numbers),
          count: numbers.length,
        })),
    )
    .sort((a, b) => b.steps - a.steps || b.count - a.count);
}

/** What most words may begin with: the letters of the first one or, where that is no line, those that are commonest. */
function leadsOf(words: readonly string[]): readonly string[] {
  const lettersOf = (word = '') => /^[A-Za-z_]*/.exec(word)?.[0] ?? '';
  const all = [lettersOf(words[0]), commonest(words.map(lettersOf)) ?? ''].flatMap((letters) =>
    Array.from({ length: letters.length + 1 }, (_, i) => letters.slice(0, letters.length - i)),
  );
  return [...new Set(all)];
}

function fieldOf(radix: Radix): string {
  return radix === 10 ? '{label}' : '{label:hex}';
}

/** The numbers of words in each radix that most of them can be of, likeliest first. */
function radixesOf(
  words: readonly string[],
): readonly { readonly radix: Radix; readonly numbers: readonly number[] }[] {
  const all = ([10, 16] as const).map((radix) => {
    const written = radix === 10 ? /^(?:\d{1,10}|0x[0-9a-f]{1,8})$/i : /^[0-9a-f]{1,8}$/i;
    const numbers = words
      .filter((word) => written.test(word))
      .map((word) => (/^0x/i.test(word) ? Number(word) : Number.parseInt(word, radix)));
    return { radix, numbers, steps: evenSteps(numbers) };
  });
  return all
    .filter(({ numbers }) => numbers.length >= 2 && numbers.length >= MOST * words.length)
    .sort((a, b) => b.numbers.length - a.numbers.length || b.steps - a.steps);
}

/** How often the commonest step that is above 0 is gone from one number to the next. */
export function evenSteps(numbers: readonly number[]): number {
  const counts = new Map<number, number>();
  for (const [i, number] of numbers.slice(1).entries()) {
    const step = number - (numbers[i] as number);
    if (step > 0) counts.set(step, (counts.get(step) ?? 0) + 1);
  }
  return Math.max(0, ...counts.values());
}

function isCounting(numbers: readonly number[]): boolean {
  const steps = evenSteps(numbers);
  return steps > 0 && steps >= MOST * (numbers.length - 1);
}

function isRising(numbers: readonly number[]): boolean {
  const rising = numbers.slice(1).filter((number, i) => number > (numbers[i] as number)).length;
  return numbers.length > 3 && rising >= 0.95 * (numbers.length - 1);
}

/** The fields of several numbers of one label: the last one counts up, and begins anew where one before it goes on. */
function numberedBy(columns: readonly (readonly string[])[]): readonly (readonly string[])[] {
  const each = columns.map((words) => {
    const radixes = radixesOf(words);
    const whole = radixes.filter(({ numbers }) => numbers.length === words.length);
    return whole.length > 0 ? whole : radixes;
  });
  if (each.some((radixes) => radixes.length === 0)) return [];
  const isWhole = each.every((radixes) => radixes.every(({ numbers }) => numbers.length === columns[0]?.length));
  if (!isWhole) return numberedBySound(columns);
  const all = each.reduce<readonly (readonly (typeof each)[number][number][])[]>(
    (before, radixes) => before.flatMap((list) => radixes.map((radix) => [...list, radix])),
    [[]],
  );
  return all
    .map((list) => ({ list, rising: countingTuples(list.map(({ numbers }) => numbers)) }))
    .filter(({ rising }) => rising >= MOST)
    .sort((a, b) => b.rising - a.rising)
    .map(({ list }) => list.map(({ radix }) => fieldOf(radix)));
}

/** The same of the lines all of whose words are numbers. */
function numberedBySound(columns: readonly (readonly string[])[]): readonly (readonly string[])[] {
  const lines = (columns[0] ?? []).map((_, i) => columns.map((words) => words[i] as string));
  const sound = lines.filter((words) => words.every((word) => /^(?:0x)?[0-9a-f]{1,8}$/i.test(word)));
  const decimal = columns.map((_, i) => sound.filter((words) => /^\d+$/.test(words[i] as string)).length);
  const kept = sound.filter((words) =>
    words.every((word, i) => /^\d+$/.test(word) || (decimal[i] as number) < MOST * sound.length),
  );
  if (kept.length < MOST * lines.length || kept.length === lines.length) return [];
  return numberedBy(columns.map((_, i) => kept.map((words) => words[i] as string)));
}

/** Which part of the steps from line to line goes up as the numbers of a label do; 0 where too many go down. */
function countingTuples(columns: readonly (readonly number[])[]): number {
  const last = columns.length - 1;
  const count = columns[0]?.length ?? 0;
  const steps = new Map<number, number>();
  let heads = 0;
  let falling = 0;
  for (let line = 1; line < count; line++) {
    const at = columns.findIndex((numbers) => numbers[line] !== numbers[line - 1]);
    const step = at < 0 ? 0 : (columns[at]?.[line] ?? 0) - (columns[at]?.[line - 1] ?? 0);
    if (step <= 0) falling++;
    else if (at < last) heads++;
    else steps.set(step, (steps.get(step) ?? 0) + 1);
  }
  const even = Math.max(0, ...steps.values());
  return count < 2 || even === 0 || falling > Math.max(1, MOST_FALLING * count) ? 0 : (heads + even) / (count - 1);
}
