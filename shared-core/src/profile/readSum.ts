import { nearestName } from '../base/nearestName.js';
import type { ByteOrder } from '../base/number.js';
import { phrase } from '../base/phrase.js';
import { CRC_NAMES, crcModel } from '../checksum/crcCatalogue.js';
import { SUM_METHODS, type SumSpec } from '../checksum/registry.js';
import {
  entries,
  flag,
  type JsonValue,
  member,
  missing,
  oneOf,
  onlyOneOf,
  soundOnly,
  text,
  whole,
  wide,
  wrong,
} from './json.js';

export function readOrder(object: JsonValue): ByteOrder {
  return oneOf(member(object, 'order'), ['big', 'little']) ?? 'big';
}

/** The parameters of each method; all have an order, which is that of the stored value too. */
const PARAMETERS: Readonly<Record<SumSpec['method'], readonly string[]>> = {
  add: ['bits', 'unit', 'complement', 'start'],
  'add-end-around': ['bits'],
  xor: ['bits', 'start'],
  fletcher: ['bits'],
  adler: [],
  crc: ['model', 'width', 'poly', 'init', 'refin', 'refout', 'xorout'],
};

/** Keys that describe a method, in `lineSum` and in each of `totals`. */
export const SUM_KEYS: readonly string[] = [...new Set(['method', 'order', ...Object.values(PARAMETERS).flat()])];

/**
 * Reads method and parameters of a sum; undefined, with a problem, where they make none. One wrong parameter makes the
 * whole sum unknown: with a default in its place every line would be called wrong.
 */
export function readSum(object: JsonValue): SumSpec | undefined {
  const given = member(object, 'method');
  if (given === undefined) return missing(object, phrase('"method" is missing: how is this sum made?'));
  const method = oneOf(given, SUM_METHODS);
  if (method === undefined) return undefined;
  return soundOnly(object, () => {
    ownParametersOnly(object, method);
    return readParameters(object, method);
  });
}

function ownParametersOnly(object: JsonValue, method: SumSpec['method']): void {
  const own = ['method', 'order', ...PARAMETERS[method]];
  for (const [key, , keyNode] of entries(object)) {
    if (!SUM_KEYS.includes(key) || own.includes(key)) continue;
    wrong(keyNode, phrase('"{0}" says nothing about a sum by "{1}".', key, method));
  }
}

function readParameters(object: JsonValue, method: SumSpec['method']): SumSpec | undefined {
  const order = readOrder(object);
  const start = (bits: number) => wide(member(object, 'start'), bits) ?? 0n;
  switch (method) {
    case 'add': {
      const bits = oneOf(member(object, 'bits'), [8, 16, 24, 32] as const) ?? 8;
      const unit = oneOf(member(object, 'unit'), [1, 2, 4] as const) ?? 1;
      const complement = oneOf(member(object, 'complement'), ['none', 'ones', 'twos'] as const) ?? 'none';
      return { method, bits, unit, order, complement, start: start(bits) };
    }
    case 'add-end-around':
      return { method, bits: oneOf(member(object, 'bits'), [8, 16, 32] as const) ?? 16, order };
    case 'xor': {
      const bits = oneOf(member(object, 'bits'), [8, 16, 32] as const) ?? 8;
      return { method, bits, order, start: start(bits) };
    }
    case 'fletcher':
      return { method, bits: oneOf(member(object, 'bits'), [16, 32] as const) ?? 16, order };
    case 'adler':
      return { method };
    case 'crc':
      return readCrc(object);
  }
}

function readCrc(object: JsonValue): SumSpec | undefined {
  const model = member(object, 'model');
  if (model !== undefined) {
    const name = text(model);
    if (name === undefined || !onlyOneOf(object, PARAMETERS.crc)) return undefined;
    const parameters = crcModel(name);
    if (parameters !== undefined) return { method: 'crc', model: name, ...parameters };
    const near = nearestName(name, CRC_NAMES);
    return near === undefined
      ? wrong(
          model,
          phrase(
            'No CRC of the catalogue is called "{0}". Give "width", "poly", "init", "refin", "refout" and "xorout" instead.',
            name,
          ),
        )
      : wrong(model, phrase('No CRC of the catalogue is called "{0}"; "{1}" is probably meant.', name, near));
  }
  if (member(object, 'width') === undefined) {
    return missing(object, phrase('A CRC needs "model", or "width" and "poly".'));
  }
  if (member(object, 'poly') === undefined) return missing(object, phrase('A CRC without "model" needs "poly".'));
  const width = whole(member(object, 'width'), 3, 64);
  const poly = width === undefined ? undefined : wide(member(object, 'poly'), width);
  if (width === undefined || poly === undefined) return undefined;
  const refin = flag(member(object, 'refin')) ?? false;
  return {
    method: 'crc',
    model: undefined,
    width,
    poly,
    init: wide(member(object, 'init'), width) ?? 0n,
    refin,
    refout: flag(member(object, 'refout')) ?? refin,
    xorout: wide(member(object, 'xorout'), width) ?? 0n,
  };
}
