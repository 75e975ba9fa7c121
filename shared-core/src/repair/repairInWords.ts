import { hex, hexBytes } from '../base/hex.js';
import { listed, type Phrase, phrase } from '../base/phrase.js';
import type { ByteWrite } from '../model/byteWrite.js';
import { addressOf, type Cell } from '../model/cell.js';
import { type Dump, ruleOf } from '../model/dump.js';
import { lineCalled } from '../model/lineName.js';
import { readLineSum } from '../model/lineSum.js';
import { sumAsWritten, type TotalReading } from '../model/totalReading.js';
import { byteAt, soundRecord } from '../model/totals.js';
import { joinedRanges, rangeInHex } from '../profile/places.js';
import { balanceCount, type Repaired } from './repaired.js';
import type { Infeasibility } from './solver/system.js';

/** Why no change of these bytes makes the sums right, by what they can do at most. */
export function whyImpossible(dump: Dump, cells: readonly Cell[], proof: Infeasibility): Phrase {
  const place = placeInWords(dump, cells);
  switch (proof.kind) {
    case 'sum':
      return whyOutOfRange(place, proof);
    case 'rank':
      // Each missing bit needs a free bit with an effect of its own; under a CRC, all bits of neighbouring bytes have one.
      return whyTooFew(place, Math.ceil((proof.width - proof.rank) / 8));
    case 'tried':
      return phrase('{0}: no values of the free bytes correct the sums. More free bytes are needed.', place);
  }
}

function whyTooFew(place: Phrase, more: number): Phrase {
  return more === 1
    ? phrase('{0}: no values of the free bytes correct the sums. At least one more free byte is needed.', place)
    : phrase(
        '{0}: no values of the free bytes correct the sums. At least {1} more free bytes are needed.',
        place,
        more,
      );
}

function whyOutOfRange(place: Phrase, { least, most, step, needed }: Extract<Infeasibility, { kind: 'sum' }>): Phrase {
  const magnitude = (value: bigint) => hex(value < 0n ? -value : value);
  const signed = (value: bigint) => `${value < 0n ? '−' : '+'}${magnitude(value)}`;
  return step > 0n && needed % step !== 0n
    ? phrase('{0} can take up multiples of {1} (hex) only, needed is {2}.', place, magnitude(step), magnitude(needed))
    : phrase('{0} can take up {1} to {2} (hex), needed is {3}.', place, signed(least), signed(most), signed(needed));
}

/** "Line 4", "Lines 4, 5 together" or, of a memory image, "Address 0010–001F". */
function placeInWords(dump: Dump, cells: readonly Cell[]): Phrase {
  const { layout } = dump;
  const all = [...new Set(cells.map(({ row }) => row))];
  if (layout.kind === 'lines') {
    const labels = listed(all.map((row) => lineCalled(dump, row)));
    return all.length === 1 ? phrase('Line {0}', labels) : phrase('Lines {0} together', labels);
  }
  const starts = new Map(all.map((row) => [row, addressOf(layout, { row, byte: 0 }) ?? 0]));
  const addresses = cells.map(({ row, byte }) => (starts.get(row) ?? 0) + byte);
  const ranges = joinedRanges(addresses.map((address) => ({ from: address, to: address })));
  return phrase('Address {0}', listed(ranges.map(rangeInHex)));
}

/** By how many bytes it was balanced, and whether other bytes, of those that were allowed, could do it too. */
export function certaintyInWords({ writes, unique, fewest }: Omit<Repaired, 'alsoChanged'>): Phrase {
  const count = balanceCount(writes);
  if (count === 1) {
    return unique
      ? phrase('balanced by one byte; no other single byte allowed here could do it')
      : phrase('balanced by one byte; this is one way');
  }
  if (unique) return phrase('balanced by {0} bytes; no other change of so few bytes allowed here could do it', count);
  return fewest
    ? phrase('balanced by {0} bytes; this is one way, and no fewer of the bytes allowed here could do it', count)
    : phrase('balanced by {0} bytes; this is one way', count);
}

/** "1 byte changes", "3 bytes change". */
export function changeInWords({ length }: Pick<readonly unknown[], 'length'>): Phrase {
  return length === 1 ? phrase('1 byte changes') : phrase('{0} bytes change', length);
}

/** A sum in digits as they are in the file, byte by byte: what is stored, and what would be right. */
export interface SumDigits {
  readonly stored: string;
  readonly right: string;
}

/** The digits of a line's own sum; undefined where the line cannot be read or has no sum that is known. */
export function lineSumDigits(dump: Dump, row: number): SumDigits | undefined {
  const rule = ruleOf(dump, row);
  const record = rule && soundRecord(dump.layout, dump.rows, row);
  if (rule === undefined || record === undefined) return undefined;
  const { stored, computed } = readLineSum(rule, record);
  return { stored: hexBytes(stored), right: hexBytes(computed) };
}

/** The digits of a total. */
export function totalDigits({ bound, stored, computed }: TotalReading): SumDigits {
  return { stored: sumAsWritten(bound, stored), right: sumAsWritten(bound, computed) };
}

/** "line 17: byte 6 from 5C to 5A", for each line that takes up a difference; of an image, its addresses. */
export function balancedLinesInWords(dump: Dump, writes: readonly ByteWrite[]): Phrase {
  const balancing = writes.filter(({ reason }) => reason === 'balance');
  if (dump.layout.kind === 'image') return balanceInWords(dump, balancing);
  const rows = [...new Set(balancing.map(({ row }) => row))];
  return listed(
    rows.map((row) => {
      const own = balancing.filter((write) => write.row === row);
      return phrase('line {0}: {1}', lineCalled(dump, row), balanceInWords(dump, own));
    }),
    '; ',
  );
}

/** "byte 6 from 5C to 5A", for each byte that takes up a difference. */
export function balanceInWords(dump: Dump, writes: readonly ByteWrite[]): Phrase {
  return listed(writes.filter(({ reason }) => reason === 'balance').map((write) => balancedByte(dump, write)));
}

function balancedByte({ rows, layout }: Dump, write: ByteWrite): Phrase {
  const [before, after] = [hex(byteAt(rows, write) ?? 0), hex(write.value)];
  const address = addressOf(layout, write);
  return address === undefined
    ? phrase('byte {0} from {1} to {2}', write.byte + 1, before, after)
    : phrase('address {0} from {1} to {2}', hex(address, 4), before, after);
}
