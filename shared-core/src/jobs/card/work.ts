import { plain } from '../../base/markdown.js';
import { type Phrase, phrase } from '../../base/phrase.js';
import { withUnit } from '../../base/withUnit.js';
import type { Comparison } from '../../compare/compareDumps.js';
import type { Check, Measure } from '../retrofit.js';
import type { Say } from './input.js';

/** A check with room for what was measured and its limits. */
export function checkInWords({ text, measure }: Check, say: Say): string {
  if (measure === undefined) return plain(text);
  return `${plain(text)}: \\_\\_\\_\\_\\_\\_ ${plain(measure.unit)}${plain(say(limitsInWords(measure))).replace(/^(?=.)/, ' ')}`;
}

function limitsInWords({ unit, min, max }: Measure): Phrase {
  if (min !== undefined && max !== undefined) return phrase('({0} to {1})', min, withUnit(max, unit));
  if (min !== undefined) return phrase('(at least {0})', withUnit(min, unit));
  return max === undefined ? phrase('') : phrase('(at most {0})', withUnit(max, unit));
}

/** Checks of every job. Common practice, no published source. */
export function standingChecks(): readonly Phrase[] {
  return [
    phrase('The sealed backup of each module lies in two places.'),
    phrase('A charger is on the battery, and nothing switches the car off meanwhile.'),
  ];
}

/** Common practice, no published source. */
export function orderOfWork(leadsBack: boolean, isRaw: boolean): readonly Phrase[] {
  return [
    leadsBack
      ? phrase('Read each module again. If it is no longer as it was read last, stop and plan anew.')
      : phrase('Read each module again. If it is no longer as in the dump as found, stop and plan anew.'),
    isRaw
      ? phrase(
          'Load the file as a whole, or enter the new bytes at their addresses, module by module. Compare each line below digit by digit, then tick it.',
        )
      : phrase('Enter the new lines, module by module. Compare each one digit by digit, then tick it.'),
    phrase('Compare the sums that the programmer shows with those of the table below.'),
  ];
}

/** What every job goes on with once it is written. Common practice, no published source. */
export const IGNITION = phrase('The ignition was switched off and on again.');

/** What is to be tried where no retrofit says it: all that was changed. Common practice, no published source. */
export function toTry(comparisons: readonly Comparison[], leadsBack: boolean): readonly Phrase[] {
  const changed = comparisons.flatMap(({ options }) => options);
  if (leadsBack) return [phrase('The car was tried: it works as before the work, without fault messages.')];
  if (changed.length === 0) return [phrase('What was changed was tried in the car and works.')];
  return changed.map(({ option, after }) =>
    phrase('{0} (now {1}) was tried in the car and works.', option.title, after),
  );
}

/** What every job ends with. Common practice, no published source. */
export function standingAfter(): readonly Phrase[] {
  return [
    phrase('What was read back was verified against the planned dumps, with no difference left.'),
    phrase('The fault memory was read and has no new faults.'),
  ];
}
