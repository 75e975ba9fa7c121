import { listed, type Phrase, phrase } from '../../base/phrase.js';
import type { Comparison, OptionDifference } from '../../compare/compareDumps.js';
import { moveInWords } from '../../compare/comparisonInWords.js';
import type { Dump } from '../../model/dump.js';
import { readSlots } from '../../model/slotInForce.js';
import { whySlotUnclear } from '../../model/slots.js';
import type { Slots } from '../../profile/profile.js';

/** What is to be said of records that move in what was read from a module. */
export interface RecordsRead {
  /** Records that the module has written anew, the same as planned. */
  readonly same: readonly Phrase[];
  /** Records that are not those of the plan. */
  readonly open: readonly Phrase[];
}

/** Which slots are in force in what was read, and whether their records are those of the plan. */
export function recordsRead(planned: Dump, read: Dump, { moves, options }: Comparison): RecordsRead {
  const same: Phrase[] = [];
  const open: Phrase[] = [];
  for (const [i, slots] of read.profile.slots.entries()) {
    const move = moves.find((one) => one.slots === slots);
    if (move === undefined) open.push(...whyOlder(planned, read, i, slots));
    else if (move.differing.length === 0) same.push(moveInWords(move));
    else
      open.push(
        withOptions(
          moveInWords(move),
          options.filter((one) => isIn(one, slots)),
        ),
      );
  }
  return { same, open };
}

function isIn({ option }: OptionDifference, slots: Slots): boolean {
  return option.parts.some(({ place }) => place.inSlot?.slots === slots.name);
}

function withOptions(why: Phrase, options: readonly OptionDifference[]): Phrase {
  if (options.length === 0) return why;
  const said = options.map(({ option, before, after }) =>
    phrase('{0} is "{1}", not "{2}"', option.title, after, before),
  );
  return phrase('{0} {1}.', why, listed(said, '; '));
}

/** That another slot is in force than planned, and no later record: what was written did not hold. */
function whyOlder(planned: Dump, read: Dump, index: number, slots: Slots): readonly Phrase[] {
  const wanted = planned.profile.slots[index]?.inForce;
  if (wanted === undefined) return [];
  if (slots.inForce === undefined) return [whySlotUnclear(read, slots) ?? []].flat();
  const [was, now] = [readSlots(planned, slots)[wanted], readSlots(read, slots)[slots.inForce]];
  if (was === undefined || now === undefined || (was.slot === now.slot && was.number === now.number)) return [];
  return [
    phrase(
      'Slot {0} of "{1}" (number {2}) is in force in what was read, which is no later record than that of the plan (slot {3}, number {4}): what was written did not hold.',
      ...[now.slot + 1, slots.name, now.number, was.slot + 1, was.number],
    ),
  ];
}
