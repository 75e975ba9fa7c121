import { phrase } from '../base/phrase.js';
import {
  isObject,
  items,
  type JsonValue,
  knownKeys,
  member,
  missing,
  onlyOneOf,
  real,
  text,
  whole,
  wholeOf,
  wrong,
} from './json.js';
import { dataBytes } from './lineLabels.js';
import { shareBits } from './places.js';
import type { Geometry, Option, OptionPart, Place } from './profile.js';
import { hasAddress } from './readGeometry.js';
import type { KnownSlots } from './readSlotPlace.js';
import { placeInSlot } from './slotPlaces.js';

/** More of one kind no module has. */
const MOST = 1000;

/** The option as often as it is there, each with the next number behind its id; undefined, with a problem, where that is unclear. */
export function readRepeat(
  option: Option,
  value: JsonValue | undefined,
  geometry: Geometry | undefined,
  slots: KnownSlots,
): readonly Option[] | undefined {
  if (value === undefined) return [option];
  if (!isObject(value)) return undefined;
  knownKeys(value, ['count', 'step', 'names', 'axis']);
  const [givenCount, givenStep] = [member(value, 'count'), member(value, 'step')];
  if (givenCount === undefined || givenStep === undefined)
    return missing(
      value,
      phrase('"count" and "step" are wanted here: how many there are, and bytes from one to the next.'),
    );
  const [count, step] = [whole(givenCount, 2, MOST), whole(givenStep, 1, 0xffff)];
  const names = readNames(member(value, 'names'), count);
  const axis = readAxis(value, option, count);
  if (count === undefined || step === undefined || names === undefined || axis === undefined) return undefined;
  const nameOf = (i: number) => {
    const at = axis.at[i];
    return at === undefined ? (names[i] ?? String(i + 1)) : `(${[at, ...(axis.unit ? [axis.unit] : [])].join(' ')})`;
  };
  const all = Array.from({ length: count }, (_, i) => ({
    ...option,
    id: `${option.id}.${i + 1}`,
    title: `${option.title} ${nameOf(i)}`,
    several: {
      ...{ id: option.id, title: option.title, count, number: i + 1 },
      axis: axis.at[i] === undefined ? undefined : { name: axis.name, unit: axis.unit, at: axis.at[i] },
    },
    parts: option.parts.flatMap((part) => moved(part, i * step, slots) ?? []),
  }));
  if (all.some((one, i) => i > 0 && shareBits(one, option)))
    return wrong(
      givenStep,
      phrase('With a step of {0} they hold the same bits. Give more bytes from one to the next.', step),
    );
  const outside = all.findIndex(
    ({ parts }) => parts.length < option.parts.length || parts.some(({ place }) => !isInside(place, geometry)),
  );
  if (outside >= 0)
    return wrong(givenCount, phrase('Only {0} of these fit: number {1} is off the end.', outside, outside + 1));
  return all;
}

/** The ids that a repeated option has, whatever else of it can be read. */
export function repeatedIds(id: string, repeat: JsonValue | undefined): readonly string[] {
  if (repeat === undefined) return [id];
  const count = wholeOf(member(repeat, 'count')?.node.value) ?? 0;
  return Array.from({ length: Math.min(count, MOST) }, (_, i) => `${id}.${i + 1}`);
}

function readNames(list: JsonValue | undefined, count: number | undefined): readonly string[] | undefined {
  if (list === undefined) return [];
  const names: string[] = [];
  for (const value of items(list, MOST)) {
    const name = text(value);
    if (name === undefined) return undefined;
    if (name.trim() === '') return wrong(value, phrase('These words are empty: say what this means.'));
    if (names.includes(name)) return wrong(value, phrase('"{0}" is given twice here: remove one of them.', name));
    names.push(name);
  }
  if (list.node.type !== 'array') return undefined;
  if (count !== undefined && names.length !== count)
    return wrong(list, phrase('These are {0} names for {1}: give each one.', names.length, count));
  return names;
}

interface Axis {
  readonly name: string | undefined;
  readonly unit: string;
  /** None where there is no axis. */
  readonly at: readonly number[];
}

/** Of a table: the values for which its entries hold, one for each, in rising or in falling order. */
function readAxis(repeat: JsonValue, option: Option, count: number | undefined): Axis | undefined {
  const value = member(repeat, 'axis');
  if (value === undefined) return { name: undefined, unit: '', at: [] };
  if (!isObject(value)) return undefined;
  knownKeys(value, ['name', 'unit', 'at']);
  if (option.meaning.kind !== 'number')
    return wrong(value, phrase('Only numbers are in a table: give "number", or leave "axis" out.'));
  if (!onlyOneOf(repeat, ['names', 'axis'])) return undefined;
  const [name, unit, list] = [text(member(value, 'name')), text(member(value, 'unit')), member(value, 'at')];
  if (list === undefined) return missing(value, phrase('"at" is missing: for which values do the entries hold?'));
  const at = items(list, MOST).map((one) => real(one));
  if (list.node.type !== 'array' || !at.every((one) => one !== undefined)) return undefined;
  if (count !== undefined && at.length !== count)
    return wrong(list, phrase('These are {0} values for {1}: give each one.', at.length, count));
  const isRising = (at[1] ?? 0) > (at[0] ?? 0);
  const turn = at.findIndex((one, i) => i > 0 && (one === at[i - 1] || one > (at[i - 1] ?? 0) !== isRising));
  if (turn > 0) return wrong(items(list)[turn] ?? list, phrase('The values of an axis rise or fall all the way.'));
  return { name, unit: unit ?? '', at };
}

/** The part so many bytes further on; undefined where that is off the end of the record in which it is. */
function moved({ place, bits }: OptionPart, by: number, slots: KnownSlots): OptionPart | undefined {
  if (place.inSlot !== undefined) {
    const { inSlot, count } = place;
    const own = slots.find(({ name }) => name === inSlot.slots)?.slots;
    const next = own && placeInSlot(own, 0, inSlot.offset + by, count);
    return next && { bits, place: next };
  }
  return {
    bits,
    place: place.kind === 'line' ? { ...place, byte: place.byte + by } : { ...place, address: place.address + by },
  };
}

function isInside(place: Place, geometry: Geometry | undefined): boolean {
  if (geometry === undefined) return true;
  if (place.kind === 'line')
    return geometry.kind === 'lines' && place.byte + place.count - 1 <= dataBytes(geometry, place.line);
  return (
    geometry.kind === 'addresses' &&
    hasAddress(geometry, place.address) &&
    hasAddress(geometry, place.address + place.count - 1)
  );
}
