import { hexBytes } from '../base/hex.js';
import { bytesOfNumber } from '../base/number.js';
import { phrase } from '../base/phrase.js';
import type { RowSpan } from '../base/span.js';
import type { Dump } from '../model/dump.js';
import { cellsOfSlot, isNext, readSlots, type SlotReading, slotInForce } from '../model/slotInForce.js';
import { slotInWords, whySlotUnclear } from '../model/slots.js';
import { bytesSpan, labelSpanOf } from '../model/spans.js';
import type { Slots } from '../profile/profile.js';
import { whyNoLinesHere } from './places.js';
import { type Problem, problem } from './problem.js';

/** Slots of which none is known to be in force, and those that are not: torn, older, or empty. */
export function slotProblems(dump: Dump, otherwise: RowSpan): Problem[] {
  if (whyNoLinesHere(dump) !== undefined) return [];
  return dump.profile.slots.flatMap((slots) => problemsOf(dump, slots, otherwise));
}

function problemsOf(dump: Dump, slots: Slots, otherwise: RowSpan): Problem[] {
  const all = readSlots(dump, slots);
  const found = slotInForce(slots, all);
  const now = all.find(({ slot }) => slot === found.slot);
  const [about = 0] = found.slot === undefined ? found.slots : [];
  const why = whySlotUnclear(dump, slots);
  const unclear =
    why === undefined
      ? []
      : [
          problem(
            'slot-unclear',
            spanOfSlot(dump, slots, about) ?? otherwise,
            phrase('{0} Its options cannot be read, and nothing is written into it. Read the module again.', why),
          ),
        ];
  return [...unclear, ...all.flatMap((one) => idle(dump, slots, one, now))];
}

/** What is to be said of a slot that is not in force. */
function idle(dump: Dump, slots: Slots, one: SlotReading, now: SlotReading | undefined): Problem[] {
  const span = spanOfSlot(dump, slots, one.slot);
  if (span === undefined || one === now) return [];
  const name = slotInWords(slots, one.slot);
  switch (one.kind) {
    case 'torn': {
      const [expected, found] = [one.computed, one.stored].map((value) => checkAsWritten(slots, value));
      const at = checkSpan(dump, slots, one.slot) ?? span;
      const said = phrase(
        '{0} is torn and not in force: its check is {1}, and its bytes come to {2}.',
        name,
        found ?? '',
        expected ?? '',
      );
      if (now === undefined || !isNext(slots, one, now)) return [problem('slot-torn', at, said)];
      const why = phrase(
        '{0} Its number ({1}) follows that of the record in force, slot {2}, so the module may have gone back to the settings before. Read the module again.',
        ...[said, one.number, now.slot + 1],
      );
      return [{ ...problem('slot-torn', at, why), severity: 'warning' }];
    }
    case 'empty':
      return [problem('slot-empty', span, phrase('{0} holds no record: all its bytes are the same.', name))];
    case 'sound':
      return now === undefined
        ? []
        : [
            problem(
              'slot-stale',
              span,
              phrase(
                '{0} holds an older record (number {1}). Slot {2} is in force (number {3}).',
                ...[name, one.number, now.slot + 1, now.number],
              ),
            ),
          ];
    case 'unread':
      return [];
  }
}

/** The first line or record of a slot, as far as it belongs to it. */
function spanOfSlot(dump: Dump, slots: Slots, slot: number): RowSpan | undefined {
  const cells = cellsOfSlot(dump, slots, slot).flatMap((cell) => cell ?? []);
  return spanOfCells(dump, cells);
}

/** Where the check of a slot is stored. */
export function checkSpan(dump: Dump, slots: Slots, slot: number): RowSpan | undefined {
  const { offset, checksum } = slots.check;
  const cells = cellsOfSlot(dump, slots, slot).slice(offset, offset + Math.ceil(checksum.bits / 8));
  return spanOfCells(
    dump,
    cells.flatMap((cell) => cell ?? []),
  );
}

function spanOfCells(
  dump: Dump,
  cells: readonly { readonly row: number; readonly byte: number }[],
): RowSpan | undefined {
  const [first] = cells;
  if (first === undefined) return undefined;
  const count = cells.filter(({ row }) => row === first.row).length;
  return bytesSpan(dump, first.row, first.byte, count) ?? labelSpanOf(dump, first.row);
}

function checkAsWritten({ check }: Slots, value: bigint): string {
  return hexBytes(bytesOfNumber(value, Math.ceil(check.checksum.bits / 8), check.order));
}
