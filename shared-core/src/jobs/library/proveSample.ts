import type { Change } from '../../actions/change.js';
import { changeByOptions, setOptions } from '../../actions/setOptions.js';
import { listed, type Phrase, phrase } from '../../base/phrase.js';
import type { Result } from '../../base/result.js';
import { finish } from '../../base/steps.js';
import { checkDump } from '../../checks/checkDump.js';
import type { LoadedDump } from '../../checks/loadedDump.js';
import { mostUrgent } from '../../checks/shownProblems.js';
import { allSumsRight, leftInWords } from '../../checks/sumsLeft.js';
import { uncheckedByItself, unreadInWords, verdictOf } from '../../checks/verdict.js';
import type { Dump } from '../../model/dump.js';
import { someDates } from '../../model/optionDate.js';
import { rawOfStep, stepRange } from '../../model/optionNumber.js';
import { changedOptions, readOption, shownValue } from '../../model/optionReading.js';
import { choicesOf, namedValues } from '../../options/choices.js';
import { whyUnknown } from '../../options/knownValue.js';
import { readOptionValue } from '../../options/readOptionValue.js';
import { whyNotSettable } from '../../options/setOption.js';
import { optionWidth } from '../../profile/places.js';
import type { NumberMeaning, Option, Sample } from '../../profile/profile.js';

/** What a sample shows of the profile that names it. */
export interface SampleProof {
  /** What does not fit; where there is nothing, the sample speaks for the profile. */
  readonly faults: readonly Phrase[];
  /** Options that were set and taken back, and how many values of them. */
  readonly options: number;
  readonly values: number;
}

/** More faults of one sample say nothing new. */
const MOST_FAULTS = 5;

/** Whoever proves a profile accepts what it says of its module; the sample itself is not written. */
const CONSENT = { unconfirmed: true, elsewhere: true } as const;

/**
 * Holds a profile against one of its samples, which was loaded by it: the sample is whole and right, its options are as
 * expected, and each option can be set to its values and back, with every sum right and no other option moved.
 */
export function proveSample(loaded: LoadedDump, { expect }: Sample): SampleProof {
  const { name, dump, profile } = loaded;
  // Its backup and the other modules of its vehicle are no part of a library.
  const checked = { ...loaded, backup: { kind: 'none' }, modules: () => [] } as const;
  const problems = checkDump(checked).filter(({ severity }) => severity !== 'information');
  const verdict = verdictOf(checked, problems);
  if (verdict.isUnread) return { faults: [unreadInWords({ name, verdict })], options: 0, values: 0 };
  const unsound = [
    ...mostUrgent(problems, MOST_FAULTS).map(({ code, message }) => listed([code, message], ': ')),
    ...uncheckedByItself({ dump, profile }),
  ];
  const unlike = [...expect].flatMap(([id, written]) => whyUnlike(dump, id, written) ?? []);
  // By a sample that is damaged nothing is shown of what can be set.
  const tried = unsound.length > 0 ? [] : dump.profile.options.flatMap((option) => trialsOf(checked, option));
  return {
    faults: [...unsound, ...unlike, ...tried.flatMap(({ fault }) => fault ?? []).slice(0, MOST_FAULTS)],
    options: new Set(tried.map(({ option }) => option)).size,
    values: tried.length,
  };
}

function whyUnlike(dump: Dump, id: string, written: string): Phrase | undefined {
  const option = dump.profile.options.find((one) => one.id === id);
  // The reader of profiles has told it.
  if (option === undefined) return undefined;
  const now = readOption(dump, option)?.raw;
  const wanted = readOptionValue(option, written, now);
  if (!wanted.ok) return wanted.why;
  if (now === wanted.value) return undefined;
  const found = now === undefined ? phrase('nothing that can be read') : shownValue(option, now);
  return phrase('{0} is expected to be {1}, and is {2}.', option.title, written, found);
}

interface Trial {
  readonly option: Option;
  readonly fault: Phrase | undefined;
}

/** An option that no command sets by design, such as one of security, is left as it is. */
function trialsOf(loaded: LoadedDump, option: Option): readonly Trial[] {
  const { dump } = loaded;
  if (whyNotSettable(dump, option) !== undefined) return [];
  return valuesToTry(dump, option).map((raw) => ({ option, fault: whyNotThereAndBack(loaded, option, raw) }));
}

/** All values of a list, each flag turned over, the ends of a number; of dates and texts some. */
function valuesToTry(dump: Dump, option: Option): readonly bigint[] {
  const { meaning } = option;
  const now = readOption(dump, option)?.raw;
  const named = meaning.kind === 'flags' ? choicesOf(dump, option) : namedValues(option);
  const all = new Set([...named.map(({ raw }) => raw), ...someOf(option)]);
  return [...all].filter((raw) => raw !== now);
}

/** Some values of an option that has too many to name them. */
function someOf(option: Option): readonly bigint[] {
  const { meaning } = option;
  switch (meaning.kind) {
    case 'values':
    case 'flags':
      return [];
    case 'number':
      return known(option, endsOf(option, meaning));
    case 'text':
      return ['A', '1'].flatMap((text) => rawOf(option, text));
    default:
      // What is counted in steps may meet none of the dates.
      return known(option, [...someDates(meaning, optionWidth(option)), 1n]);
  }
}

function known(option: Option, values: readonly bigint[]): readonly bigint[] {
  return values.filter((raw) => whyUnknown(option, raw) === undefined);
}

/** The least and the largest number that an option takes: where the profile says, else where its bits end. */
function endsOf(option: Option, meaning: NumberMeaning): readonly bigint[] {
  const { min, max, offset, scale } = meaning;
  const [least, largest] = stepRange(option, meaning);
  // Between the steps of the scale there is no value.
  const steps = [min, max].flatMap((end) => (end === undefined ? [] : Number(((end - offset) / scale).toFixed(9))));
  const inside = steps
    .flatMap((step) => [Math.ceil(step), Math.floor(step)])
    .filter((step) => step >= least && step <= largest);
  return [...inside, least, largest].map((step) => rawOfStep(option, meaning, step));
}

function rawOf(option: Option, written: string): readonly bigint[] {
  const read = readOptionValue(option, written);
  return read.ok ? [read.value] : [];
}

function whyNotThereAndBack(loaded: LoadedDump, option: Option, raw: bigint): Phrase | undefined {
  const { dump } = loaded;
  const fault = (why: Phrase) => phrase('{0} cannot become {1}: {2}', option.title, shownValue(option, raw), why);
  const wanted = withNeeds(dump, option, raw);
  const before = new Map([...wanted.keys()].map((one) => [one, readOption(dump, one)?.raw ?? 0n]));
  const there = setAll(loaded, wanted);
  if (!there.ok) return fault(there.why);
  const back = setAll({ ...loaded, dump: there.value.after }, before);
  if (!back.ok) return fault(phrase('there is no way back. {0}', back.why));
  for (const { sums } of [there.value, back.value]) if (!allSumsRight(sums)) return fault(leftInWords(sums));
  const moved = changedOptions(dump, there.value.after).find((one) => !wanted.has(one));
  return moved && fault(phrase('{0} would change too.', moved.title));
}

type Values = ReadonlyMap<Option, bigint>;

/** A value of an option, with what it and these need of other options of the same dump and do not have. */
function withNeeds(dump: Dump, option: Option, raw: bigint): Values {
  const wanted = new Map([[option, raw]]);
  // A map gives what is added to it meanwhile, too.
  for (const [one, value] of wanted) {
    for (const { profile, option: id, in: values } of value === 0n ? [] : one.needs) {
      const other = profile === undefined ? dump.profile.options.find((some) => some.id === id) : undefined;
      const [first] = values;
      if (other === undefined || first === undefined || wanted.has(other)) continue;
      const now = readOption(dump, other)?.raw;
      if (!values.some((needed) => BigInt(needed) === now)) wanted.set(other, BigInt(first));
    }
  }
  return wanted;
}

/** As `set` does it, but that the other modules are not here, and that a sample may be set so that options exclude each other. */
function setAll(loaded: LoadedDump, values: Values): Result<Change> {
  const wishes = [...values].map(([{ id }, raw]) => ({ id, to: { raw } }));
  const set = setOptions(loaded, wishes, CONSENT);
  return set.ok || set.asks?.kind !== 'despite' ? set : finish(changeByOptions(loaded, wishes, CONSENT));
}
