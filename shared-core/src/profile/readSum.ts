import type { ByteOrder } from '../bytes/number.js';
import { CRC_NAMES, crcModel } from '../checksum/crcCatalogue.js';
import { SUM_METHODS, type SumSpec } from '../checksum/registry.js';
import { nearestName } from '../words/nearestName.js';
import { phrase } from '../words/phrase.js';
import { flag, type JsonValue, member, oneOf, text, whole, wide, wrong } from './json.js';

/** Keys that describe a method, in `lineSum` and in each of `totals`. */
export const SUM_KEYS = [
  'method',
  'bits',
  'unit',
  'complement',
  'start',
  'order',
  'model',
  'width',
  'poly',
  'init',
  'refin',
  'refout',
  'xorout',
];

export function readOrder(object: JsonValue): ByteOrder {
  return oneOf(member(object, 'order'), ['big', 'little']) ?? 'big';
}

/** Reads method and parameters of a sum; undefined, with a problem, where they make none. */
export function readSum(object: JsonValue): SumSpec | undefined {
  const method = member(object, 'method');
  if (method === undefined) return wrong(object, phrase('"method" is missing: how is this sum made?'));
  const order = readOrder(object);
  const start = () => wide(member(object, 'start'), 32) ?? 0n;
  switch (oneOf(method, SUM_METHODS)) {
    case undefined:
      return undefined;
    case 'add': {
      const bits = oneOf(member(object, 'bits'), [8, 16, 24, 32] as const) ?? 8;
      const unit = oneOf(member(object, 'unit'), [1, 2, 4] as const) ?? 1;
      const complement = oneOf(member(object, 'complement'), ['none', 'ones', 'twos'] as const) ?? 'none';
      return { method: 'add', bits, unit, order, complement, start: start() };
    }
    case 'add-end-around':
      return { method: 'add-end-around', bits: oneOf(member(object, 'bits'), [8, 16, 32] as const) ?? 16, order };
    case 'xor':
      return { method: 'xor', bits: oneOf(member(object, 'bits'), [8, 16, 32] as const) ?? 8, order, start: start() };
    case 'fletcher':
      return { method: 'fletcher', bits: oneOf(member(object, 'bits'), [16, 32] as const) ?? 16, order };
    case 'adler':
      return { method: 'adler' };
    case 'crc':
      return readCrc(object);
  }
}

function readCrc(object: JsonValue): SumSpec | undefined {
  const model = member(object, 'model');
  if (model !== undefined) {
    const name = text(model);
    if (name === undefined) return undefined;
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
  const width = whole(member(object, 'width'), 3, 64);
  if (width === undefined)
    return member(object, 'width') ? undefined : wrong(object, phrase('A CRC needs "model", or "width" and "poly".'));
  const poly = wide(member(object, 'poly'), width);
  if (poly === undefined)
    return member(object, 'poly') ? undefined : wrong(object, phrase('A CRC without "model" needs "poly".'));
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
