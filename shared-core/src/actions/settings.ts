import { nearestName } from '../base/nearestName.js';
import { listed, type Phrase, phrase } from '../base/phrase.js';
import { done, type Refused, type Result, refuse } from '../base/result.js';
import type { Steps } from '../base/steps.js';
import { afterWrites, type ByteWrite, netWrites } from '../model/byteWrite.js';
import { cellKey, cellsOfOption } from '../model/cell.js';
import type { Dump } from '../model/dump.js';
import { readOption } from '../model/optionReading.js';
import type { CoveredRun } from '../model/run.js';
import { readTotal } from '../model/totalReading.js';
import type { BoundTotal } from '../model/totals.js';
import { flagsSet } from '../options/choices.js';
import { readOptionValueIn } from '../options/readOptionValue.js';
import { setOption } from '../options/setOption.js';
import type { Option } from '../profile/profile.js';
import { whyNotOneOfSeveral } from '../profile/severalOptions.js';
import { sumName } from '../profile/sumName.js';
import { type RepairPlan, repairAllInSteps } from '../repair/repairAll.js';
import type { Repaired } from '../repair/repaired.js';

/** An option by its id and what it is to hold: as a person wrote it, as bits set, or as a raw number chosen from a list. */
export interface OptionWish {
  readonly id: string;
  readonly to: { readonly written: string } | { readonly flags: readonly number[] } | { readonly raw: bigint };
}

/** An option and the raw value that it is to get. */
export interface Setting {
  readonly option: Option;
  readonly raw: bigint;
}

/** What wishes mean in a dump; each option may be wished for once. */
export function settingsOf(dump: Dump, wishes: readonly OptionWish[]): Result<readonly Setting[]> {
  const settings: Setting[] = [];
  for (const { id, to } of wishes) {
    const option = dump.profile.options.find((known) => known.id === id);
    if (option === undefined) return refuse(unknownOption(id, dump.profile.options));
    if (settings.some((one) => one.option === option))
      return refuse(phrase('{0} is given twice. Give it one value.', option.title));
    const raw = rawOf(dump, option, to);
    if (!raw.ok) return raw;
    settings.push({ option, raw: raw.value });
  }
  return done(settings);
}

function rawOf(dump: Dump, option: Option, to: OptionWish['to']): Result<bigint> {
  if ('written' in to) return readOptionValueIn(dump, option, to.written);
  return 'flags' in to ? flagsSet(dump, option, to.flags) : done(to.raw);
}

function unknownOption(id: string, options: readonly Option[]): Phrase {
  const ids = options.map((option) => option.id);
  if (ids.length === 0) return phrase('The profile has no options, and so no "{0}".', id);
  const several = whyNotOneOfSeveral(options, id);
  if (several !== undefined) return several;
  const near = nearestName(id, ids);
  return near === undefined
    ? phrase('The profile has no option "{0}". It has: {1}.', id, listed(ids))
    : phrase('The profile has no option "{0}"; is "{1}" meant?', id, near);
}

/** The byte writes that set options and make every sum right, all or none. Whether they may be made, the gate says. */
export function* writesFor(dump: Dump, settings: readonly Setting[], plan: RepairPlan): Steps<Result<Repaired>> {
  const writes: ByteWrite[] = [];
  let now = dump;
  for (const { option, raw } of settings) {
    const set = setOption(now, option, raw);
    if (!set.ok) return set;
    writes.push(...set.value);
    now = afterWrites(now, set.value);
  }
  const untold = plan.totals === 'none' ? undefined : untoldTotal(now, writes);
  if (untold !== undefined) return refuse(whyNotKept(untold));
  const fixed = [...settings.flatMap(({ option }) => cellsOfOption(dump.layout, option)), ...writes];
  const repair = yield* repairAllInSteps(now, { ...plan, fixed });
  if (!repair.ok) return repair;
  const all = netWrites(dump, [...writes, ...repair.value.writes]);
  return done({ ...repair.value, writes: all });
}

/** A total over one of the written bytes that nobody can tell, so that it cannot be kept right. */
function untoldTotal(dump: Dump, writes: readonly ByteWrite[]): BoundTotal | undefined {
  return dump.totals.find(
    ({ run, stored }, index) =>
      readTotal(dump, index) === undefined && writes.some((write) => covers(run, write) || isStoredAt(stored, write)),
  );
}

/** Whether a run covers a byte's row; one over addresses that are not all there may cover any. */
function covers({ obstacle, length, piecesIn }: CoveredRun, { row }: ByteWrite): boolean {
  return (obstacle !== undefined && length === 0) || piecesIn(row).length > 0;
}

function isStoredAt(stored: BoundTotal['stored'], write: ByteWrite): boolean {
  return stored?.some((cell) => cellKey(cell) === cellKey(write)) === true;
}

function whyNotKept({ total, stored }: BoundTotal): Phrase {
  return stored === undefined
    ? phrase('The {0} cannot be kept: the place where it is stored is missing. Put that in first.', sumName(total))
    : phrase(
        'The {0} cannot be kept: a line it covers is missing, stands twice or cannot be read. Correct that first.',
        sumName(total),
      );
}

/** Each option is read from the dump that the gate has let through: a set that does not last is refused. */
export function unlikeWished(after: Dump, settings: readonly Setting[]): Refused | undefined {
  const lost = settings.find(({ option, raw }) => readOption(after, option)?.raw !== raw);
  if (lost === undefined) return undefined;
  return refuse(
    phrase(
      '{0} would not keep its value, as a sum or a balance takes its bytes. Balance with another line.',
      lost.option.title,
    ),
  );
}
