import {
  addressOf,
  type ByteWrite,
  byteAt,
  type Cell,
  type Dump,
  editsOf,
  hex,
  labelOfRow,
  listed,
  type Phrase,
  phrase,
  rebalance,
} from '../../../../shared-core/src/index.js';
import type { Fix } from './fix.js';

/** Rebalancing with given bytes, titled by the bytes it changes; nothing where it cannot be done. */
export function rebalanceFix(dump: Dump, index: number, cells: readonly Cell[], preferred: boolean): readonly Fix[] {
  const repair = rebalance(dump, cells, [index]);
  // Where righted line sums are all it takes, no byte is balanced, and the line sums have fixes of their own.
  if (!repair.ok || repair.value.writes.every(({ reason }) => reason !== 'balance')) return [];
  const { writes } = repair.value;
  const title = phrase('Rebalance {0} using {1}', dump.totals[index]?.total.name ?? '', linesInWords(dump, writes));
  return [{ kind: 'edits', title, edits: editsOf(dump, writes), preferred }];
}

/** "line 17: byte 6 from 5C to 5A", for each line that takes up a difference; of an image, its addresses. */
function linesInWords(dump: Dump, writes: readonly ByteWrite[]): Phrase {
  const balancing = writes.filter(({ reason }) => reason === 'balance');
  if (dump.layout.kind === 'image') return balanceInWords(dump, balancing);
  const rows = [...new Set(balancing.map(({ row }) => row))];
  return listed(
    rows.map((row) =>
      phrase(
        'line {0}: {1}',
        labelOfRow(dump.rows[row]) ?? row + 1,
        balanceInWords(
          dump,
          balancing.filter((write) => write.row === row),
        ),
      ),
    ),
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
