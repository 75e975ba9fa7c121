import { type Phrase, phrase, say } from '../../base/phrase.js';
import type { ByteWrite } from '../../model/byteWrite.js';
import { cellKey } from '../../model/cell.js';
import type { Dump } from '../../model/dump.js';
import { bytesInOrders } from './dumpBytes.js';
import { type Finding, maskedBytes } from './maskedBytes.js';
import { isInPairs, isVin, joined, type Mask } from './masks.js';

/** Values that are found anywhere in the bytes of a dump, and the writes that mask them. */
export function hitsInDump(
  dump: Dump,
  masks: readonly Mask[],
  before: readonly ByteWrite[],
): {
  readonly writes: readonly ByteWrite[];
  /** All cells of values that were found, by their keys. */
  readonly cells: ReadonlySet<number>;
  readonly found: readonly Phrase[];
  readonly masks: readonly Mask[];
} {
  const writes = new Map<number, ByteWrite>();
  const cells = new Set<number>();
  const done = new Set(before.map(cellKey));
  const found = new Map<string, Phrase>();
  const own = new Set<Mask>();
  for (const { bytes, cellAt, nameOf } of bytesInOrders(dump).slice(0, 2)) {
    const masked = maskedBytes(bytes, masks);
    for (const finding of masked.found) {
      const said = findingInWords(nameOf(finding.at), finding);
      found.set(say(said), said);
      own.add(finding.mask);
    }
    for (const index of masked.places) cells.add(cellKey(cellAt(index)));
    for (const [index, value] of masked.bytes.entries()) {
      if (value === bytes[index]) continue;
      const cell = cellAt(index);
      const key = cellKey(cell);
      if (!done.has(key) && !writes.has(key)) writes.set(key, { ...cell, value, reason: 'option' });
    }
  }
  return { writes: [...writes.values()], cells, found: [...found.values()], masks: [...own] };
}

function findingInWords(at: Phrase, { mask, coding, reversed, count }: Finding): Phrase {
  const how = {
    ascii: mask.coded?.as ?? 'ASCII',
    'utf-16': 'UTF-16',
    bcd: 'BCD',
    hex: 'hex',
    parted: phrase('ASCII in every second byte'),
    inverted: phrase('inverted ASCII'),
    swapped: phrase('ASCII with its halves swapped'),
    paired: phrase('ASCII with the bytes of each pair exchanged'),
    turned: phrase('UTF-16, BCD or pairs with their bits turned'),
    mirrored: phrase('ASCII with its bits from last to first'),
  }[coding];
  const { length } = isInPairs(mask.text) ? joined(mask.text) : mask.text;
  const part =
    count < length
      ? phrase('{0} of {1} characters', count, length)
      : phrase('{0} characters', mask.coded?.count ?? count);
  const what = isVin(mask.text) ? phrase('VIN') : phrase('personal value');
  return reversed
    ? phrase('{0}: {1} ({2}, {3}, from last to first), masked', at, what, part, how)
    : phrase('{0}: {1} ({2}, {3}), masked', at, what, part, how);
}
