import { hexBytes } from '../../base/hex.js';
import { bytesOfNumber } from '../../base/number.js';
import { phrase } from '../../base/phrase.js';
import type { Problem } from '../../checks/problem.js';
import { checkSpan } from '../../checks/slots.js';
import { afterWrites, type ByteWrite, netWrites } from '../../model/byteWrite.js';
import { cellsOfSlot, readSlots, type SlotReading, slotInForce } from '../../model/slotInForce.js';
import { wrongTotals } from '../../model/totalReading.js';
import type { Slots } from '../../profile/profile.js';
import { withLineSums } from '../../repair/lineSums.js';
import { repairAll } from '../../repair/repairAll.js';
import { changeOf, type Subject } from '../change.js';
import type { Fix } from './fix.js';

/**
 * Puts a torn slot in force by correcting its check, as after digits of its record were typed by hand; only where its
 * record would be the newest one then.
 */
export function slotFixes(subject: Subject, { row, start }: Problem): readonly Fix[] {
  const { dump } = subject;
  for (const slots of dump.profile.slots) {
    const all = readSlots(dump, slots);
    const torn = all.find((one) => {
      const span = one.kind === 'torn' ? checkSpan(dump, slots, one.slot) : undefined;
      return span?.row === row && span.start === start;
    });
    if (torn === undefined || slots.inForce === undefined) continue;
    const mended = all.map((one) => (one === torn ? { ...one, kind: 'sound' as const } : one));
    return slotInForce(slots, mended).slot === torn.slot ? [putInForce(subject, slots, torn)] : [];
  }
  return [];
}

function putInForce(subject: Subject, slots: Slots, torn: SlotReading): Fix {
  const { dump } = subject;
  const { offset, checksum, order } = slots.check;
  const width = Math.ceil(checksum.bits / 8);
  const [stored, right] = [torn.stored, torn.computed].map((value) => bytesOfNumber(value, width, order));
  const title = phrase(
    'Put slot {0} of "{1}" in force: correct its check, {2} to {3}',
    ...[torn.slot + 1, slots.name, hexBytes(stored ?? []), hexBytes(right ?? [])],
  );
  const check = cellsOfSlot(dump, slots, torn.slot)
    .slice(offset, offset + width)
    .flatMap((cell, i): readonly ByteWrite[] =>
      cell === undefined ? [] : [{ ...cell, value: right?.[i] ?? 0, reason: 'total' }],
    );
  const writes = netWrites(dump, withLineSums(dump, check));
  const now = afterWrites(dump, writes);
  const wasWrong = new Set(wrongTotals(dump));
  const repair = wrongTotals(now).every((index) => wasWrong.has(index))
    ? undefined
    : repairAll(now, { totals: 'keep', fixed: writes });
  const puts = { slots: slots.name, slot: torn.slot };
  const result =
    repair?.ok === false
      ? repair
      : changeOf(subject, { writes: [...writes, ...(repair?.value.writes ?? [])] }, title, { puts }, repair?.value);
  return { kind: 'change', title, result, preferred: true };
}
