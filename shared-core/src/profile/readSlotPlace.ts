import { phrase } from '../base/phrase.js';
import { entries, type JsonValue, member, missing, nearName, onlyOneOf, text, whole, wrong } from './json.js';
import type { Place, Slots } from './profile.js';
import { placeInSlot } from './slotPlaces.js';

/** The records that move, by the names that are written down; `slots` undefined where one cannot be read. */
export type KnownSlots = readonly { readonly name: string; readonly slots: Slots | undefined }[];

const KEYS = ['line', 'byte', 'address', 'from', 'to'];

/** Reads `slot` with `offset`, and `length` or `bytes`: bytes of a record that moves, where they are in the first slot. */
export function readSlotPlace(object: JsonValue, known: KnownSlots, line: JsonValue | undefined): Place | undefined {
  const [slot, offset] = [member(object, 'slot'), member(object, 'offset')];
  const [other] = entries(object).filter(([key]) => KEYS.includes(key));
  if (other !== undefined)
    return wrong(
      other[2],
      phrase('"{0}" and "{1}" do not go together: give one of them.', slot ? 'slot' : 'offset', other[0]),
    );
  if (line !== undefined)
    return wrong(slot ?? object, phrase('This part has a place of its own: leave "line" of the option out.'));
  if (slot === undefined || offset === undefined)
    return missing(
      object,
      phrase('"slot" and "offset" go together: the name of the slots, and which byte of them, from 0.'),
    );
  const name = text(slot);
  if (name === undefined || !onlyOneOf(object, ['bytes', 'length'])) return undefined;
  const given = member(object, 'length') ?? member(object, 'bytes');
  const [first, count] = [whole(offset), given === undefined ? 1 : whole(given, 1, 65_535)];
  const found = known.find((one) => one.name === name);
  if (found === undefined) return unknownSlots(slot, name, known);
  // What is wrong with these slots is said there.
  if (found.slots === undefined || first === undefined || count === undefined) return undefined;
  const place = placeInSlot(found.slots, 0, first, count);
  if (place !== undefined) return place;
  const size = (found.slots.places[0] ?? []).reduce((sum, run) => sum + run.count, 0);
  return first + count > size
    ? wrong(offset, phrase('A slot of "{0}" has {1} bytes, from 0: this is off its end.', name, size))
    : wrong(offset, phrase('These bytes of a slot of "{0}" are in more than one line: take those of one.', name));
}

function unknownSlots(slot: JsonValue, name: string, known: KnownSlots): undefined {
  const near = nearName(
    name,
    known.map((one) => one.name),
  );
  return near === undefined
    ? wrong(slot, phrase('"slots" of this profile names no "{0}".', name))
    : wrong(slot, phrase('"slots" of this profile names no "{0}"; "{1}" is probably meant.', name, near));
}
