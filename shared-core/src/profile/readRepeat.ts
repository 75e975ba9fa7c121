import { phrase } from '../base/phrase.js';
import { isObject, items, type JsonValue, knownKeys, member, missing, text, whole, wholeOf, wrong } from './json.js';
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
  knownKeys(value, ['count', 'step', 'names']);
  const [givenCount, givenStep] = [member(value, 'count'), member(value, 'step')];
  if (givenCount === undefined || givenStep === undefined)
    return missing(
      value,
      phrase('"count" and "step" are wanted here: how many there are, and bytes from one to the next.'),
    );
  const [count, step] = [whole(givenCount, 2, MOST), whole(givenStep, 1, 0xffff)];
  const names = readNames(member(value, 'names'), count);
  if (count === undefined || step === undefined || names === undefined) return undefined;
  const all = Array.from({ length: count }, (_, i) => ({
    ...option,
    id: `${option.id}.${i + 1}`,
    title: `${option.title} ${names[i] ?? i + 1}`,
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
