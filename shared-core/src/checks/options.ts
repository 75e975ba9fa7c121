import { hex } from '../base/hex.js';
import { listed, type Phrase, phrase } from '../base/phrase.js';
import type { Dump } from '../model/dump.js';
import { type OptionReading, optionSpan, readOption, scaled, wordsOf, wordsOrHex } from '../model/optionReading.js';
import { labelSpanOf } from '../model/spans.js';
import { optionWidth } from '../profile/places.js';
import type { Condition, Option } from '../profile/profile.js';
import type { ProblemCode } from './diagnostics.js';
import type { OtherModule, OtherModules } from './otherModules.js';
import { type Problem, problem } from './problem.js';

/** Options that hold a value the profile has no words for, that is out of range, or that goes against another option. */
export function optionProblems(dump: Dump, modules: OtherModules): Problem[] {
  return dump.profile.options.flatMap((option) => {
    const reading = readOption(dump, option);
    return reading === undefined ? [] : [...valueProblems(dump, reading), ...conditionProblems(dump, option, modules)];
  });
}

function problemAt(dump: Dump, reading: OptionReading, code: ProblemCode, message: Phrase): Problem {
  const row = reading.cells[0]?.row ?? 0;
  const record = dump.rows[row];
  const label = record?.kind === 'record' ? { label: record.label } : {};
  return problem(code, optionSpan(dump, reading) ?? labelSpanOf(dump, row), message, label);
}

function valueProblems(dump: Dump, reading: OptionReading): Problem[] {
  const { option, raw } = reading;
  const { meaning, title } = option;
  const digits = hex(raw, Math.ceil(optionWidth(option) / 4));
  if (meaning.kind === 'number') {
    const value = scaled(option, meaning, raw);
    const { min, max, unit } = meaning;
    const low = min !== undefined && value < min;
    if (!low && !(max !== undefined && value > max)) return [];
    const message = low
      ? phrase('{0} is {1} {2} ({3}); the profile allows no less than {4}.', title, value, unit, digits, min)
      : phrase('{0} is {1} {2} ({3}); the profile allows no more than {4}.', title, value, unit, digits, max ?? '');
    return [problemAt(dump, reading, 'option-range', message)];
  }
  if (wordsOf(option, raw) !== undefined) return [];
  if (meaning.kind === 'values') {
    const known = [...meaning.words].map(([value, words]) => phrase('{0} ({1})', hex(value, 1), words));
    const message = phrase(
      '{0} is {1}, a value the profile does not know. It knows {2}.',
      title,
      digits,
      listed(known),
    );
    return [problemAt(dump, reading, 'option-value', message)];
  }
  const message =
    meaning.kind === 'flags'
      ? phrase('{0} is {1}: a bit is set that the profile has no words for.', title, digits)
      : phrase('{0} is {1}, which is no plain text.', title, digits);
  return [problemAt(dump, reading, 'option-value', message)];
}

/**
 * What of an option's `needs` and `excludes` is not kept. An option at its lowest value counts as not chosen: only a
 * chosen option can need or exclude another.
 */
function conditionProblems(dump: Dump, option: Option, modules: OtherModules): Problem[] {
  return brokenConditions(dump, option, modules).map(({ problem }) => problem);
}

/** A condition of an option that is not kept, and the problem that says so. */
export interface BrokenCondition {
  readonly condition: Condition;
  readonly problem: Problem;
}

export function brokenConditions(dump: Dump, option: Option, modules: OtherModules): readonly BrokenCondition[] {
  const reading = readOption(dump, option);
  if (reading === undefined || reading.raw === 0n) return [];
  const broken = (condition: Condition, needed: boolean) =>
    problemsOfCondition(dump, reading, condition, needed, modules).map((problem) => ({ condition, problem }));
  return [
    ...option.needs.flatMap((condition) => broken(condition, true)),
    ...option.excludes.flatMap((condition) => broken(condition, false)),
  ];
}

/** A place where the other option of a condition stands and does not hold what it should. */
interface Breach {
  readonly module: OtherModule | undefined;
  readonly dump: Dump;
  readonly found: OptionReading;
}

function problemsOfCondition(
  dump: Dump,
  reading: OptionReading,
  condition: Condition,
  needed: boolean,
  modules: OtherModules,
): Problem[] {
  const held = condition.profile === undefined ? [undefined] : modules(condition.profile);
  const breaches = held.map((module) => breachIn(module, module?.dump ?? dump, condition, needed));
  const [first] = breaches;
  // Where several dumps could be the other module as it is now, one that agrees is enough.
  if (first === undefined || !breaches.every((breach) => breach !== undefined)) return [];
  return [breachProblem(dump, reading, condition, needed, first)];
}

function breachIn(
  module: OtherModule | undefined,
  dump: Dump,
  condition: Condition,
  needed: boolean,
): Breach | undefined {
  const option = dump.profile.options.find(({ id }) => id === condition.option);
  const found = option && readOption(dump, option);
  if (found === undefined) return undefined;
  const among = condition.in.some((value) => BigInt(value) === found.raw);
  return among === needed ? undefined : { module, dump, found };
}

function breachProblem(
  dump: Dump,
  reading: OptionReading,
  condition: Condition,
  needed: boolean,
  { module, dump: other, found }: Breach,
): Problem {
  const { option } = found;
  const wanted = listed(condition.in.map((value) => `"${wordsOrHex(option, BigInt(value))}"`));
  const own = [reading.option.title, wordsOrHex(reading.option, reading.raw), option.title, wanted] as const;
  const now = wordsOrHex(option, found.raw);
  const message =
    module === undefined
      ? needed
        ? phrase('{0} "{1}" needs {2} at {3}; it is "{4}".', ...own, now)
        : phrase('{0} "{1}" does not go with {2} at {3}; it is "{4}".', ...own, now)
      : needed
        ? phrase('{0} "{1}" needs {2} at {3} in {4}; it is "{5}" there.', ...own, module.name, now)
        : phrase('{0} "{1}" does not go with {2} at {3} in {4}; it is "{5}" there.', ...own, module.name, now);
  const problem = problemAt(dump, reading, 'option-needs', message);
  const span = optionSpan(other, found);
  if (span === undefined) return problem;
  const related = { span, message: phrase('{0} stands here', option.title) };
  return { ...problem, related: module === undefined ? related : { ...related, file: module.file } };
}
