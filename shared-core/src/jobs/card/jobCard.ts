import { bullets, marked, numbered, pageOf, plain, quoted, section, table, ticks } from '../../base/markdown.js';
import { type Phrase, type PhrasePart, phrase } from '../../base/phrase.js';
import { type Comparison, compareDumps } from '../../compare/compareDumps.js';
import type { Check } from '../retrofit.js';
import { cautionsOf } from './cautions.js';
import { linesToEnter, linesToRestoreByHand } from './changedLines.js';
import { DIGESTS, fingerprints, moduleTable, OLD_DIGESTS, vehicleTable } from './identity.js';
import type { CardInput, CardModule, Say } from './input.js';
import { openMatters } from './openMatters.js';
import { sumsBeforeAndAfter } from './sums.js';
import { checkInWords, IGNITION, orderOfWork, standingAfter, standingChecks, toTry } from './work.js';

export interface JobCard {
  /** Markdown. */
  readonly text: string;
  /** Why the planned dumps must not be written yet; the card says it too. */
  readonly open: readonly Phrase[];
  /** Whether all dumps were read whole, so that the card shows all that changes. */
  readonly isWhole: boolean;
}

/**
 * The job card as Markdown: what to check, what to enter line by line with each byte explained, what to do after, and
 * the way back. It is laid out for two A4 pages in an ordinary job of two modules.
 */
export function jobCard(input: CardInput, say: Say): JobCard {
  const { modules, retrofit } = input;
  const comparisons = modules.map(({ before, after }) => compareDumps(before.dump, after.dump));
  const open = openMatters(input, comparisons);
  const text = (said: Phrase) => plain(say(said));
  const checks = (list: readonly Check[] = []) => list.map((check) => checkInWords(check, say));
  const rowsOf = (rows: RowsOf) => modules.flatMap((module, i) => rows(module, comparisons[i] as Comparison, say));
  const areImages = modules.every(({ after }) => after.dump.layout.kind === 'image');
  const place = areImages ? phrase('Address') : phrase('Line');
  const page = pageOf([
    `# ${text(cardTitle(titleOf(input)))}`,
    ...(leadsBack(modules) ? [text(GOING_BACK)] : []),
    vehicleTable(input, text),
    moduleTable(modules, text),
    quoted(marked('⚠', cautionsOf(input, comparisons).map(text))),
    ...fingerprints(modules, text),
    ...section(text(NOT_YET), bullets(open.map(text))),
    ...section(text(phrase('Before')), ticks([...checks(retrofit?.before), ...standingChecks().map(text)])),
    ...section(text(ORDER_OF_WORK), numbered(orderOfWork(leadsBack(modules), modules.every(isImage)).map(text))),
    ...section(
      text(LINES_TO_ENTER),
      table([DONE, place, OLD, phrase('New: enter this'), phrase('Why')].map(text), rowsOf(linesToEnter)),
    ),
    ...section(text(phrase('Sums')), table(SUMS.map(text), rowsOf(sumsBeforeAndAfter))),
    ...section(
      text(phrase('After writing')),
      ticks([text(IGNITION), ...(retrofit?.after ?? []).map(plain), ...standingAfter().map(text)]),
    ),
    ...section(
      text(phrase('Try the function')),
      ticks(
        retrofit?.try?.length && !leadsBack(modules)
          ? checks(retrofit.try)
          : toTry(comparisons, leadsBack(modules)).map(text),
      ),
    ),
    // A module that is taken back is on that way already.
    ...(leadsBack(modules)
      ? []
      : section(
          text(THE_WAY_BACK),
          text(
            phrase(
              'Enter the old lines, switch the ignition off and on, read back and verify against the dump as found.',
            ),
          ),
          table([DONE, phrase('Module'), place, OLD].map(text), rowsOf(linesToRestoreByHand)),
        )),
    text(LAST_WORD),
  ]);
  return { text: page, open, isWhole: comparisons.every(isWhole) };
}

/** Whether a module is programmed by its addresses, as files of raw bytes and images are. */
function isImage({ after }: CardModule): boolean {
  return after.dump.layout.kind === 'image';
}

/** Whether all that the card does is to take its modules back. */
function leadsBack(modules: readonly CardModule[]): boolean {
  return modules.every(({ isWayBack }) => isWayBack);
}

function titleOf({ modules, retrofit }: CardInput): PhrasePart {
  if (leadsBack(modules)) return BACK_TO_BACKUP;
  return retrofit?.title ?? phrase('change of configuration');
}

/** Whether all was read, by a profile that may be for this module: that nobody has confirmed it is an open matter. */
function isWhole({ unread }: Comparison): boolean {
  return unread.every(({ what }) => what === 'unconfirmed');
}

/** How each card begins. */
function cardTitle(title: PhrasePart): Phrase {
  return phrase('Job card: {0}', title);
}

const BACK_TO_BACKUP = phrase('back to the backup');
const GOING_BACK = phrase(
  'This card is for going back: the module still holds what was written, and with the lines to enter it is as in its backup again.',
);
const ORDER_OF_WORK = phrase('Order of work');
const LINES_TO_ENTER = phrase('Lines to enter');
const THE_WAY_BACK = phrase('The way back');
const LAST_WORD = phrase(
  'This card says what the profiles say. Whether they are right for this car is for you to find out.',
);

/** How a card for going back begins; it needs no way back of its own. */
const FOR_GOING_BACK = [cardTitle(BACK_TO_BACKUP), GOING_BACK];

/**
 * What is in each whole card, a line each, in this order; the first begins its line, and the last one ends the card.
 * Older versions wrote another sentence above the digests.
 */
export const FRAMES: readonly (readonly Phrase[])[] = [DIGESTS, OLD_DIGESTS].flatMap((digests) => [
  [cardTitle(''), digests, ORDER_OF_WORK, LINES_TO_ENTER, THE_WAY_BACK, LAST_WORD],
  [...FOR_GOING_BACK, digests, ORDER_OF_WORK, LINES_TO_ENTER, LAST_WORD],
]);

/** What heads all that was open when a card was made. */
export const NOT_YET = phrase('Do not write yet');

const DONE = phrase('Done');
const OLD = phrase('Old');
const SUMS = [phrase('Module'), phrase('Sums before'), phrase('Sums after')];

type RowsOf = (module: CardModule, comparison: Comparison, say: Say) => readonly (readonly string[])[];
