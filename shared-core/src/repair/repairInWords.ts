import { hex } from '../base/hex.js';
import { listed, type Phrase, phrase } from '../base/phrase.js';
import type { ByteWrite } from '../model/byteWrite.js';
import { addressOf, type Cell } from '../model/cell.js';
import type { Dump } from '../model/dump.js';
import { labelOfRow } from '../model/layout.js';
import { byteAt } from '../model/totals.js';
import { joinedRanges, rangeInHex } from '../profile/places.js';
import type { Infeasibility } from './solver/system.js';

/** Why no change of these bytes makes the sums right, by what they can do at most. */
export function whyImpossible(dump: Dump, cells: readonly Cell[], reach: Infeasibility): Phrase {
  const place = placeInWords(dump, cells);
  if (reach.kind === 'sum') {
    if (reach.step > 0n && reach.needed % reach.step !== 0n) {
      return phrase(
        '{0} can take up multiples of {1} (hex) only, needed is {2}.',
        place,
        hex(reach.step),
        hex(reach.needed < 0n ? -reach.needed : reach.needed),
      );
    }
    const signed = (value: number | bigint) => (value < 0 ? `−${hex(-value)}` : `+${hex(value)}`);
    return phrase(
      '{0} can take up {1} to {2} (hex), needed is {3}.',
      place,
      signed(reach.least),
      signed(reach.most),
      signed(reach.needed),
    );
  }
  if (reach.kind === 'rank') {
    // So many more bits must count, each in a way of its own; of bytes that follow each other under a CRC, all do.
    return phrase(
      '{0}: the free bits reach {1} of the {2} bits of the sums. Free bytes that lack to reach all: at least {3}.',
      place,
      reach.rank,
      reach.width,
      Math.ceil((reach.width - reach.rank) / 8),
    );
  }
  return phrase('{0}: no values of the free bytes make the sums right. More free bytes are needed.', place);
}

/** "Line 4, 5" or, of a memory image, "Address 0010–001F". */
function placeInWords({ rows, layout }: Dump, cells: readonly Cell[]): Phrase {
  const all = [...new Set(cells.map(({ row }) => row))];
  if (layout.kind === 'lines') return phrase('Line {0}', listed(all.map((row) => labelOfRow(rows[row]) ?? row + 1)));
  const addresses = cells.flatMap((cell) => addressOf(layout, cell) ?? []);
  const ranges = joinedRanges(addresses.map((address) => ({ from: address, to: address })));
  return phrase('Address {0}', listed(ranges.map(rangeInHex)));
}

/** How sure it is that nothing better could be done with these bytes. */
export function certaintyInWords({ unique, fewest }: { readonly unique: boolean; readonly fewest: boolean }): Phrase {
  if (unique) return phrase('the only way with so few bytes');
  return fewest
    ? phrase('the smallest of several ways with so few bytes')
    : phrase('not all ways were looked at, so fewer bytes may do as well');
}

/** "line 17: byte 6 from 5C to 5A", for each line that takes up a difference; of an image, its addresses. */
export function balancedLinesInWords(dump: Dump, writes: readonly ByteWrite[]): Phrase {
  const balancing = writes.filter(({ reason }) => reason === 'balance');
  if (dump.layout.kind === 'image') return balanceInWords(dump, balancing);
  const rows = [...new Set(balancing.map(({ row }) => row))];
  return listed(
    rows.map((row) => {
      const own = balancing.filter((write) => write.row === row);
      return phrase('line {0}: {1}', labelOfRow(dump.rows[row]) ?? row + 1, balanceInWords(dump, own));
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
