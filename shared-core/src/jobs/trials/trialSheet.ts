import { bullets, marked, numbered, pageOf, plain, quoted, section, table, ticks } from '../../base/markdown.js';
import { type Phrase, phrase } from '../../base/phrase.js';
import { compareDumps } from '../../compare/compareDumps.js';
import { digitsIn, placeInWords } from '../../learn/findOption/placeInWords.js';
import type { Dump } from '../../model/dump.js';
import { headerValue, isSealed } from '../../model/headers.js';
import { calledLine, lineHead } from '../../model/lineName.js';
import { linesToEnter, linesToRestoreByHand } from '../card/changedLines.js';
import type { Say } from '../card/input.js';
import type { Trial, TrialPlan, Tried } from './planTrials.js';

/** What the sheet is about. */
export interface TrialSubject {
  /** What the equipment is called. */
  readonly name: string;
  /** The file of the dump that the trials are made on. */
  readonly file: string;
  /** That dump, whose lines are called as it calls them. */
  readonly dump?: Dump;
}

/** The trials as a sheet in Markdown to work through at the car: exact lines to enter, the way back of each, and what to beware of. */
export function trialSheet(
  { isImage, trials, leftOut }: TrialPlan,
  { name, file, dump }: TrialSubject,
  say: Say,
): string {
  const text = (said: Phrase) => plain(say(said));
  const [first] = trials;
  const inPlace = ({ place }: Tried) => {
    const line = isImage || dump === undefined ? place.line : calledLine(dump, place.line);
    return placeInWords({ ...place, line }, isImage);
  };
  return pageOf([
    `# ${text(phrase('Trials: {0}', name))}`,
    text(
      first === undefined
        ? phrase('For the dump {0}. There is nothing to try.', file)
        : phrase('For the dump {0}. Each trial sets one place and nothing else; all sums are right.', file),
    ),
    ...(first === undefined ? [] : [identity(first, text)]),
    ...(first === undefined ? [] : [quoted(marked('⚠', standing(first).map(text)))]),
    ...(first === undefined ? [] : section(text(phrase('Order of work')), numbered(order().map(text)))),
    ...trials.flatMap((trial, i) => trialSection(trial, i, text(inPlace(trial.tried)), file, say)),
    ...section(
      text(phrase('Not to be tried')),
      bullets(leftOut.map(({ tried, why }) => text(phrase('{0}: {1}', inPlace(tried), why)))),
    ),
  ]);
}

/** Which car and which module, as far as the dump says it. */
function identity({ before }: Trial, text: (said: Phrase) => string): string {
  const named = [
    [phrase('Vehicle'), headerValue(before, 'vehicle')],
    [phrase('VIN'), headerValue(before, 'vin')],
    [phrase('Part'), headerValue(before, 'part')],
    [phrase('Software'), headerValue(before, 'software')],
  ] as const;
  return named.flatMap(([what, value]) => (value === undefined ? [] : `${text(what)}: ${plain(value)}`)).join(' · ');
}

function trialSection(
  { tried, chance, gain, before, after, cautions }: Trial,
  index: number,
  where: string,
  file: string,
  say: Say,
): readonly string[] {
  const text = (said: Phrase) => plain(say(said));
  const value = (number: number | undefined) => (number === undefined ? '–' : digitsIn(tried.place, number));
  const module = {
    before: { name: file, dump: before, problems: [], unchecked: [] },
    after: { name: file, dump: after, problems: [], unchecked: [] },
    change: undefined,
  };
  const comparison = compareDumps(before, after);
  const [, ...enter] = linesToEnter(module, comparison, say);
  const back = linesToRestoreByHand(module, comparison).map(([box = '', , ...rest]) => [box, ...rest]);
  const title = phrase('Trial {0}: {1} from {2} to {3}', index + 1, where, value(tried.from), value(tried.to));
  return section(
    say(title),
    text(
      phrase(
        'Chance that this is it, if the trials before it failed: {0} %. Expected to tell {1} bits.',
        Math.round(100 * chance),
        gain.toFixed(2),
      ),
    ),
    cautions.length === 0 ? '' : quoted(marked('⚠', cautions.map(text))),
    table(['', ...[lineHead(before), phrase('Old'), phrase('New: enter this'), phrase('Why')].map(text)], enter),
    text(phrase('The way back:')),
    table(['', ...[lineHead(before), phrase('Enter this')].map(text)], back),
    ticks([phrase('it works'), phrase('no change'), phrase('something else:')].map(text)),
  );
}

function standing({ before }: Trial): readonly Phrase[] {
  const isOnlyOne = headerValue(before, 'backup') === undefined && !isSealed(before);
  return [
    phrase('A trial is a guess. On braking, steering, restraints or high voltage nobody guesses: stop and ask.'),
    ...(isOnlyOne
      ? [phrase('This dump has no backup. Run "Make a Backup" first: it is the way back from all trials.')]
      : []),
    phrase('Charger on the battery, the car standing, nobody in it but you.'),
  ];
}

/** Common practice, no published source. */
function order(): readonly Phrase[] {
  return [
    phrase('Enter the new lines of one trial and write the module.'),
    phrase(
      'Switch the ignition off, wait until the module sleeps, switch it on again. Look for the function, and for faults.',
    ),
    phrase('Note the result. If it works, stop: put the place into the profile as confirmed.'),
    phrase(
      'If not, enter the old lines and write again before the next trial. Two trials are never in the module at once.',
    ),
  ];
}
