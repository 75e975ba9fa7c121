import { phrase } from '../../base/phrase.js';
import { done, type Result, refuse } from '../../base/result.js';
import { finish } from '../../base/steps.js';
import { afterWrites, type ByteWrite, netWrites } from '../../model/byteWrite.js';
import { type Cell, cellKey, cellsOfOption, placeCells } from '../../model/cell.js';
import { withCopies } from '../../model/copies.js';
import type { Dump } from '../../model/dump.js';
import { bind } from '../../model/dump.js';
import { type Changed, changeDump } from '../../model/gate.js';
import { readSlots } from '../../model/slotInForce.js';
import { readTotal } from '../../model/totalReading.js';
import type { Place, Profile, Region } from '../../profile/profile.js';
import { isSecured } from '../../profile/secured.js';
import { checkOfSlot } from '../../profile/slotPlaces.js';
import { sumName } from '../../profile/sumName.js';
import { totalsInOrder } from '../../profile/totalsInOrder.js';
import { balanceGroups } from '../../repair/freeCells.js';
import { rightLineSum } from '../../repair/lineSums.js';
import { rebalanceByFirst } from '../../repair/rebalance.js';
import { protectionOf, rewriteTotals, whyNeverRewritten } from '../../repair/totals.js';

/**
 * A dump with invented bytes in place of personal ones: sums that were right are right again, and what was wrong stays
 * wrong. A copy for others is written to no module, so personal bytes change where they are locked too; no other
 * protected byte does.
 */
export function withMaskedBytes(dump: Dump, personal: readonly ByteWrite[]): Result<Changed> {
  const masking = netWrites(dump, withCopies(dump, personal));
  const profile = unlocked(dump, new Set(masking.map(cellKey)));
  const source = bind(dump.rows, dump.notation, profile);
  const wrong = new Set(source.wrongSums);
  const rows = [...new Set(masking.map(({ row }) => row))].filter((row) => !wrong.has(row));
  const begun = afterWrites(source, masking);
  const lines = rows.flatMap((row) => rightLineSum(begun, row));
  const right = new Set(source.totals.flatMap(({ total }, index) => (isRight(source, index) ? total : [])));
  const totals = rewriteTotals(afterWrites(source, [...masking, ...lines]), ({ total }) => right.has(total));
  const writes = netWrites(source, [...masking, ...lines, ...totals]);
  const balanced = balancedBack(source, writes, masking);
  return balanced.ok
    ? changeDump(source, { writes: balanced.value }, { elsewhere: true, unconfirmed: true })
    : balanced;
}

function isRight(dump: Dump, index: number): boolean {
  const reading = readTotal(dump, index);
  return reading !== undefined && reading.stored === reading.computed;
}

/** The writes, with balance bytes for file sums that were right and cannot be written. */
function balancedBack(
  source: Dump,
  writes: readonly ByteWrite[],
  masking: readonly Cell[],
): Result<readonly ByteWrite[]> {
  const now = afterWrites(source, writes);
  const broken = [...source.totals.keys()].filter((index) => isRight(source, index) && !isRight(now, index));
  const total = source.totals[broken[0] ?? -1]?.total;
  if (total === undefined) return done(writes);
  const groups = balanceGroups(now, masking);
  const balanced = groups.length === 0 ? undefined : finish(rebalanceByFirst(now, groups, broken));
  if (balanced?.ok === true) return done(netWrites(source, [...writes, ...balanced.value.writes]));
  const protection = protectionOf(source, total);
  const why =
    protection === undefined
      ? phrase('The {0} cannot be kept right once personal bytes are masked.', sumName(total))
      : whyNeverRewritten(total, protection);
  return refuse(balanced === undefined ? why : phrase('{0} {1}', why, balanced.why));
}

/** The profile of a dump without protection of these bytes. All sound slots keep their checks, in force or not. */
function unlocked(dump: Dump, cells: ReadonlySet<number>): Profile {
  const { profile, layout } = dump;
  const isFree = (cell: Cell | undefined) => cell !== undefined && cells.has(cellKey(cell));
  const outside = (region: Region) => partsOutside(dump, region, isFree);
  const opened = profile.options.filter(
    (option) => isSecured(option) && cellsOfOption(layout, option).some((cell) => isFree(cell)),
  );
  const kept = opened.flatMap(({ parts, title, source }) =>
    parts.flatMap(({ place }) => outside({ place, why: title, source })),
  );
  const { asRead: _, ...own } = profile;
  return {
    ...own,
    locked: [...profile.locked.flatMap(outside), ...kept],
    volatile: profile.volatile.flatMap(outside),
    options: profile.options.filter((option) => !opened.includes(option)),
    slots: [],
    totals: totalsInOrder([...profile.totals.filter(({ ofSlots }) => ofSlots === undefined), ...checksOfSlots(dump)]),
  };
}

function checksOfSlots(dump: Dump): Profile['totals'] {
  return dump.profile.slots.flatMap((slots) =>
    readSlots(dump, slots).flatMap(({ slot, kind }) => {
      const check = kind === 'sound' ? checkOfSlot(slots, slot) : undefined;
      if (check === undefined) return [];
      const { ofSlots: _, ...total } = check;
      return total;
    }),
  );
}

/** What of a region is left where some of its bytes are not in it. */
function partsOutside(
  { layout }: Dump,
  region: Region,
  isFree: (cell: Cell | undefined) => boolean,
): readonly Region[] {
  const cells = placeCells(layout, region.place);
  if (!cells.some(isFree)) return [region];
  const parts: Region[] = [];
  let from = 0;
  for (let at = 0; at <= cells.length; at++) {
    if (at < cells.length && !isFree(cells[at])) continue;
    if (at > from) parts.push({ ...region, place: part(region.place, from, at - from) });
    from = at + 1;
  }
  return parts;
}

function part({ inSlot: _, ...place }: Place, from: number, count: number): Place {
  return place.kind === 'line'
    ? { ...place, byte: place.byte + from, count }
    : { ...place, address: place.address + from, count };
}
