import { type Phrase, phrase } from '../base/phrase.js';
import type { Cell } from '../model/cell.js';
import { copiesInDoubt } from '../model/copies.js';
import type { Dump } from '../model/dump.js';
import { whyFlawed } from '../model/gate.js';
import { whyNotThisModule } from '../model/identity.js';
import { lineCalled } from '../model/lineName.js';
import type { OptionReading } from '../model/optionReading.js';
import { readTotal } from '../model/totalReading.js';
import type { BoundTotal } from '../model/totals.js';
import { whyNotWhole } from '../model/whole.js';
import { sumName } from '../profile/sumName.js';

/**
 * Why an option of a dump proves nothing about its module, though it could be read: the dump was not read whole, or a
 * sum over the option is wrong or cannot be told. Undefined where it is as good as the dump can say.
 */
export function whyOptionInDoubt(dump: Dump, { cells, option }: OptionReading, name: string): Phrase | undefined {
  const { flaw } = dump.profile;
  if (flaw !== undefined) return phrase('{0} cannot be relied on: {1}', name, whyFlawed(flaw));
  const misfit = whyNotThisModule(dump);
  if (misfit?.kind === 'other') return phrase('{0} cannot be relied on: {1}', name, misfit.why);
  const [unread] = whyNotWhole(dump);
  if (unread !== undefined) return phrase('{0} was not read whole: {1}', name, unread.why);
  const line = cells.find(({ row }) => dump.wrongSums.includes(row));
  if (line !== undefined) {
    return phrase('The sum of line {0} in {1} is wrong. Correct it first.', lineCalled(dump, line.row), name);
  }
  const copies = copiesInDoubt(
    dump,
    option.parts.map(({ place }) => place),
  );
  if (copies !== undefined) return phrase('{0} cannot be relied on: {1}', name, copies);
  const at = dump.totals.findIndex(
    (bound, index) => cells.some((cell) => covers(bound, cell)) && !isRight(dump, index),
  );
  const total = dump.totals[at]?.total;
  return total && phrase('The {0} of {1} is wrong or cannot be checked. Correct it first.', sumName(total), name);
}

function covers({ run }: BoundTotal, { row, byte }: Cell): boolean {
  return run.obstacle !== undefined || run.piecesIn(row).some(({ from, count }) => byte >= from && byte < from + count);
}

function isRight(dump: Dump, index: number): boolean {
  const reading = readTotal(dump, index);
  return reading !== undefined && reading.stored === reading.computed;
}
