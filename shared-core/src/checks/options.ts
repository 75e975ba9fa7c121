import { type Phrase, phrase } from '../base/phrase.js';
import { withUnit } from '../base/withUnit.js';
import type { Dump } from '../model/dump.js';
import { knownInWords } from '../model/knownInWords.js';
import { scaled } from '../model/optionNumber.js';
import { type OptionReading, rawInHex, readOption, wordsOf } from '../model/optionReading.js';
import type { Option } from '../profile/profile.js';
import { breachesOf } from './conditions.js';
import type { OtherModules } from './otherModules.js';
import type { Problem } from './problem.js';
import { problemAtOption } from './problemAtOption.js';

/** Options that hold a value the profile has no words for, that is out of range, or that goes against another option. */
export function optionProblems(dump: Dump, modules: OtherModules): Problem[] {
  return dump.profile.options.flatMap((option) => {
    const reading = readOption(dump, option);
    return reading === undefined ? [] : [...valueProblems(dump, reading), ...conditionProblems(dump, option, modules)];
  });
}

function valueProblems(dump: Dump, reading: OptionReading): Problem[] {
  const { option, raw } = reading;
  const { meaning, title } = option;
  const digits = rawInHex(option, raw);
  const value = meaning.kind === 'number' ? scaled(option, meaning, raw) : undefined;
  if (meaning.kind === 'number' && value !== undefined && !option.special.has(raw)) {
    const { min, max, unit } = meaning;
    const low = min !== undefined && value < min;
    if (!low && !(max !== undefined && value > max)) return [];
    const message = low
      ? phrase('{0} is {1} ({2}); the profile allows no less than {3}.', title, withUnit(value, unit), digits, min)
      : phrase(
          '{0} is {1} ({2}); the profile allows no more than {3}.',
          title,
          withUnit(value, unit),
          digits,
          max ?? '',
        );
    return [problemAtOption(dump, reading, 'option-range', message)];
  }
  if (wordsOf(option, raw) !== undefined) return [];
  if (meaning.kind === 'values') {
    const message = phrase(
      '{0} is {1}, a value the profile does not know. It knows {2}.',
      title,
      digits,
      knownInWords(option),
    );
    return [problemAtOption(dump, reading, 'option-value', message)];
  }
  const reasons: Record<typeof meaning.kind, Phrase> = {
    flags: phrase('{0} is {1}: a bit is set that the profile has no words for.', title, digits),
    text: phrase('{0} is {1}, which is no plain text.', title, digits),
    number: phrase('{0} is {1}, but it holds decimal digits only: A to F are none.', title, digits),
    date: phrase('{0} is {1}, which is no date or time that exists.', title, digits),
    'counted-date': phrase('{0} is {1}, which is no date or time that exists.', title, digits),
  };
  return [problemAtOption(dump, reading, 'option-value', reasons[meaning.kind])];
}

/** What of an option's `needs` and `excludes` is seen broken; what cannot be seen is a matter of the verdict. */
function conditionProblems(dump: Dump, option: Option, modules: OtherModules): Problem[] {
  return breachesOf(dump, option, modules).flatMap((breach) => (breach.kind === 'broken' ? breach.problem : []));
}
