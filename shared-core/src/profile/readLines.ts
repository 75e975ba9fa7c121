import { phrase } from '../base/phrase.js';
import { compareLabels, MOST_IN_LABEL, numbersOf, readLineLabel } from '../format/label.js';
import type { Label } from '../format/row.js';
import {
  isObject,
  items,
  type JsonValue,
  knownKeys,
  mapEntries,
  member,
  missing,
  whole,
  wholeOf,
  wrong,
} from './json.js';
import { labelIn, linesOf, splitLabel } from './lineLabels.js';
import type { LineGeometry, Stretch } from './profile.js';

const MOST_LINES = 1_000_000;

/** `lines`: one stretch of lines, or a list of several. Undefined where one of them is unclear. */
export function readLines(value: JsonValue): LineGeometry | undefined {
  if (value.node.type !== 'array') {
    const stretch = isObject(value) ? readStretch(value) : undefined;
    return stretch && linesOf(numbersIn(stretch.first), [stretch]);
  }
  const all = items(value);
  if (all.length === 0) return wrong(value, phrase('This list is empty: name at least one stretch of lines.'));
  const read = all.map((item) => ({ item, stretch: isObject(item) ? readStretch(item) : undefined }));
  const sound = read.flatMap(({ item, stretch }) => (stretch === undefined ? [] : [{ item, stretch }]));
  return sound.length === all.length && fitTogether(value, sound) ? geometryOf(sound) : undefined;
}

interface ReadStretch extends Omit<Stretch, 'before'> {
  readonly first: Label;
  readonly last: Label;
}

interface PlacedStretch {
  readonly item: JsonValue;
  readonly stretch: ReadStretch;
}

/** How many numbers a label has; 0 for none. */
export function numbersIn(label: Label | undefined): number {
  return (label === undefined ? undefined : numbersOf(label))?.length ?? 0;
}

function geometryOf(sound: readonly PlacedStretch[]): LineGeometry {
  const stretches = sound.map(({ stretch }) => stretch).sort((a, b) => compareLabels(a.first, b.first));
  return linesOf(numbersIn((stretches[0] as ReadStretch).first), stretches);
}

/** Says where the labels of a stretch have other numbers than those before, or are among them already. */
function fitTogether(list: JsonValue, sound: readonly PlacedStretch[]): boolean {
  const numbers = numbersIn((sound[0] as PlacedStretch).stretch.first);
  const other = sound.find(({ stretch }) => numbersIn(stretch.first) !== numbers);
  if (other !== undefined) {
    wrongNumbers(member(other.item, 'from') ?? other.item, other.stretch.first, numbers);
    return false;
  }
  const rising = [...sound].sort((a, b) => compareLabels(a.stretch.first, b.stretch.first));
  for (const [i, { item, stretch }] of rising.entries()) {
    const before = rising[i - 1];
    if (before === undefined || compareLabels(before.stretch.last, stretch.first) < 0) continue;
    // Whichever of the two is written later is the one that is wrong.
    const later = before.item.node.offset > item.node.offset ? before : { item, stretch };
    wrong(
      member(later.item, 'from') ?? later.item,
      phrase('Line {0} is in another stretch as well: each line is in one only.', stretch.first),
    );
    return false;
  }
  const count = sound.reduce((sum, { stretch: { from, to, step } }) => sum + (to - from) / step + 1, 0);
  return count <= MOST_LINES || tooMany(list) !== undefined;
}

function tooMany(value: JsonValue): undefined {
  return wrong(value, phrase('No dump has more than {0} lines.', MOST_LINES));
}

function wrongNumbers(value: JsonValue, label: Label, wanted: number): undefined {
  return wrong(
    value,
    phrase(
      'All labels of a dump have equally many numbers: others have {0}, and "{1}" has {2}.',
      wanted,
      label,
      numbersIn(label),
    ),
  );
}

function readStretch(object: JsonValue): ReadStretch | undefined {
  knownKeys(object, ['from', 'to', 'step', 'data', 'sum']);
  const range = readEndLabels(object);
  const data = member(object, 'data');
  if (data === undefined) return missing(object, phrase('"data" is missing: how many data bytes has a line?'));
  if (range === undefined) return undefined;
  const step = whole(member(object, 'step'), 1, 0xffff) ?? 1;
  if ((range.to - range.from) % step !== 0)
    return wrong(
      member(object, 'step') ?? object,
      phrase('Lines from {0} in steps of {1} do not come to {2}.', range.first, step, range.last),
    );
  if ((range.to - range.from) / step >= MOST_LINES) return tooMany(object);
  const sum = whole(member(object, 'sum'), 0, 8) ?? 0;
  if (data.node.type !== 'object') {
    const count = whole(data, 1, 65_535);
    return count === undefined ? undefined : { ...range, step, data: count, sum };
  }
  const counts = readCounts(data, { ...range, step });
  return counts && { ...range, step, data: counts, sum };
}

type Ends = Pick<ReadStretch, 'head' | 'from' | 'to' | 'first' | 'last'>;

function readEndLabels(object: JsonValue): Ends | undefined {
  const [from, to] = [member(object, 'from'), member(object, 'to')];
  const [first, last] = [lineLabel(from), lineLabel(to)];
  if (from === undefined || to === undefined) return missing(object, phrase('"from" and "to" are both wanted here.'));
  if (first === undefined || last === undefined) return undefined;
  if (numbersIn(first) !== numbersIn(last)) return wrongNumbers(to, last, numbersIn(first));
  const [start, end] = [splitLabel(first), splitLabel(last)];
  if (start.head !== end.head)
    return wrong(
      to,
      phrase('Only the last number of a label counts up: begin a stretch of its own with each other one.'),
    );
  if (start.last > end.last) return wrong(to, phrase('"to" is lower than "from".'));
  return { head: start.head, from: start.last, to: end.last, first, last };
}

/** Label → data bytes, for each line of a stretch. */
function readCounts(
  data: JsonValue,
  { head, from, to, first, last, step }: Ends & Pick<Stretch, 'step'>,
): ReadonlyMap<number, number> | undefined {
  const counts = new Map<number, number>();
  for (const [key, value, keyNode] of mapEntries(data)) {
    const label = labelOf(key);
    const number = label === undefined ? undefined : splitLabel(label);
    const count = whole(value, 1, 65_535);
    if (
      number === undefined ||
      number.head !== head ||
      number.last < from ||
      number.last > to ||
      (number.last - from) % step !== 0
    ) {
      wrong(keyNode, phrase('"{0}" is none of the lines {1} to {2}.', key, first, last));
    } else if (counts.has(number.last)) wrong(keyNode, phrase('"{0}" is given twice here: remove one of them.', key));
    else if (count !== undefined) counts.set(number.last, count);
  }
  for (let number = from; number <= to; number += step) {
    if (!counts.has(number))
      return wrong(data, phrase('The count for line {0} is missing.', labelIn({ head }, number)));
  }
  return counts;
}

/** A label as a profile writes it: its number, or up to four of them joined. */
export function lineLabel(value: JsonValue | undefined): Label | undefined {
  if (value === undefined) return undefined;
  return (
    labelOf(value.node.value) ??
    wrong(
      value,
      phrase(
        'A line is written as its number, from {0} to {1} or as "0x…" text, or as up to four numbers joined by "-": "3-10".',
        0,
        MOST_IN_LABEL,
      ),
    )
  );
}

/** The same of what is written, without a word on what is wrong with it. */
export function labelOf(written: unknown): Label | undefined {
  const number = wholeOf(written);
  if (number !== undefined) return number >= 0 && number <= MOST_IN_LABEL ? number : undefined;
  return typeof written === 'string' ? readLineLabel(written) : undefined;
}
