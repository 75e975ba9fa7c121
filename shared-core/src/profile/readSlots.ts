import { phrase } from '../base/phrase.js';
import { checksumOf } from '../checksum/registry.js';
import { sizeOf } from './copiedPlaces.js';
import {
  isObject,
  items,
  type JsonValue,
  knownKeys,
  member,
  missing,
  soundOnly,
  spanOf,
  text,
  whole,
  wrong,
} from './json.js';
import type { Geometry, Place, Slots } from './profile.js';
import { wholeLines } from './readCopies.js';
import { MOST_BYTES } from './readPlace.js';
import type { KnownSlots } from './readSlotPlace.js';
import { readOrder, readSum, SUM_KEYS } from './readSum.js';
import { checkOfSlot } from './slotPlaces.js';

/** Each slot is compared with each other. */
const MOST_SLOTS = 1000;

/** A number of more bytes no record has. */
const MOST_IN_SEQUENCE = 4;

type Runs = readonly Place[];

/** Records that move: equal stretches of addresses or lines of which the newest sound one counts. */
export function readSlots(list: JsonValue | undefined, geometry: Geometry | undefined): KnownSlots {
  const known: { name: string; slots: Slots | undefined }[] = [];
  for (const value of items(list, MOST_SLOTS)) {
    if (!isObject(value)) continue;
    const given = member(value, 'name');
    const name = text(given);
    if (given === undefined) missing(value, phrase('Give these slots a "name": options say by it where they are.'));
    else if (name?.trim() === '') wrong(given, phrase('These words are empty: say what this means.'));
    else if (known.some((one) => one.name === name))
      wrong(given, phrase('"{0}" is given twice here: remove one of them.', name ?? ''));
    const slots = readOne(value, name ?? '', geometry);
    if (name !== undefined && !known.some((one) => one.name === name)) known.push({ name, slots });
  }
  return known;
}

function readOne(value: JsonValue, name: string, geometry: Geometry | undefined): Slots | undefined {
  knownKeys(value, ['name', 'at', 'length', 'lines', 'sequence', 'check']);
  return soundOnly(value, () => {
    const places = readPlaces(value, geometry);
    const size = places && sizeOf({ places });
    const sequence = readSequence(value, size);
    const check = readCheck(value, size);
    if (places === undefined || size === undefined || sequence === undefined || check === undefined) return undefined;
    const width = Math.ceil(check.checksum.bits / 8);
    if (check.offset < sequence.offset + sequence.bytes && sequence.offset < check.offset + width)
      return wrong(member(value, 'check') ?? value, phrase('The number of a slot and its check share bytes.'));
    const slots = { name, places, sequence, check, inForce: 0, source: spanOf(value.node) };
    return checkOfSlot(slots, 0) === undefined
      ? wrong(member(value, 'check') ?? value, phrase('The check of a slot is stored in one line, not across two.'))
      : slots;
  });
}

function readPlaces(value: JsonValue, geometry: Geometry | undefined): readonly Runs[] | undefined {
  const [at, lines, length] = [member(value, 'at'), member(value, 'lines'), member(value, 'length')];
  if (lines !== undefined) {
    const other = at ?? length;
    if (other !== undefined)
      return wrong(
        other,
        phrase('"{0}" and "{1}" do not go together: give one of them.', 'lines', at ? 'at' : 'length'),
      );
    return several(lines, (one) => wholeLines(one, geometry));
  }
  if (at === undefined)
    return missing(value, phrase('Say where the slots are: "at" with "length", or whole lines as "lines".'));
  if (geometry?.kind === 'lines')
    return wrong(at, phrase('This dump is in lines: name the lines of each slot as "lines".'));
  const count = whole(length, 1, MOST_BYTES);
  if (length === undefined) return missing(value, phrase('"length" is missing: how many bytes has a slot?'));
  if (count === undefined) return undefined;
  const { from, to } = geometry ?? { from: 0, to: 0xffffffff };
  return several(at, (one) => {
    const address = whole(one, 0, 0xffffffff);
    if (address === undefined) return undefined;
    return address < from || address + count - 1 > to
      ? wrong(one, phrase('These addresses run off the image.'))
      : [{ kind: 'address', address, count }];
  });
}

/** Two slots or more, each as many bytes in runs like those of the first. */
function several(list: JsonValue, read: (one: JsonValue) => Runs | undefined): readonly Runs[] | undefined {
  const all = items(list, MOST_SLOTS);
  if (list.node.type !== 'array') return undefined;
  if (all.length < 2) return wrong(list, phrase('A record moves between two slots or more: name each of them.'));
  const slots: Runs[] = [];
  for (const one of all) {
    const runs = read(one);
    if (runs === undefined) return undefined;
    const first = slots[0] ?? runs;
    if (first.length !== runs.length || first.some(({ count }, i) => runs[i]?.count !== count))
      return wrong(one, phrase('This slot has other bytes than the first one.'));
    slots.push(runs);
  }
  return slots;
}

function readSequence(value: JsonValue, size: number | undefined): Slots['sequence'] | undefined {
  const given = member(value, 'sequence');
  if (given === undefined)
    return missing(value, phrase('"sequence" is missing: where in a slot is the number that rises with each record?'));
  if (!isObject(given)) return undefined;
  knownKeys(given, ['offset', 'bytes', 'order']);
  const bytes = member(given, 'bytes') === undefined ? 1 : whole(member(given, 'bytes'), 1, MOST_IN_SEQUENCE);
  const order = readOrder(given);
  const offset = readOffset(given, bytes, size);
  return bytes === undefined || offset === undefined ? undefined : { offset, bytes, order };
}

function readCheck(value: JsonValue, size: number | undefined): Slots['check'] | undefined {
  const given = member(value, 'check');
  if (given === undefined)
    return missing(value, phrase('"check" is missing: only a sum shows which slots were written whole.'));
  if (!isObject(given)) return undefined;
  knownKeys(given, [...SUM_KEYS, 'offset']);
  const spec = readSum(given);
  const checksum = spec && checksumOf(spec);
  const order = readOrder(given);
  const offset = readOffset(given, checksum && Math.ceil(checksum.bits / 8), size);
  return spec === undefined || checksum === undefined || offset === undefined
    ? undefined
    : { spec, checksum, order, offset };
}

/** The first byte of something in a slot, from 0. */
function readOffset(object: JsonValue, width: number | undefined, size: number | undefined): number | undefined {
  const given = member(object, 'offset');
  if (given === undefined) return missing(object, phrase('"offset" is missing: which byte of a slot is it, from 0?'));
  const offset = whole(given);
  if (offset === undefined || width === undefined || size === undefined || offset + width <= size) return offset;
  return wrong(given, phrase('A slot has {0} bytes, from 0: this is off its end.', size));
}
