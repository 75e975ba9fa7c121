import { listed, type Phrase, type PhrasePart, phrase } from '../base/phrase.js';
import type { Dump } from '../model/dump.js';
import { changedOptions } from '../model/optionReading.js';
import { readTotal } from '../model/totalReading.js';
import type { Hazard, Option, Total } from '../profile/profile.js';
import { caution, shortCaution } from './hazard.js';

/**
 * What a person must know before a change is written: the caution of each changed option that has a hazard, and each
 * file sum that is only a guess and goes along with it. Where all of it is known otherwise, `guesses` are left out.
 */
export function cautionsOfChange(before: Dump, after: Dump, { guesses = true } = {}): readonly Phrase[] {
  const ofOptions = changedOptions(before, after).flatMap(({ title, hazards }) => {
    const says = caution(hazards);
    return says === undefined ? [] : phrase('{0}: {1}', title, says);
  });
  const ofTotals = guessedTotals(before, after).map(({ name, keep }) =>
    keep
      ? phrase(
          'That the {0} is a sum of these bytes is a guess, and bytes are written to keep it. If it is none, they become wrong. Compare with a second dump first.',
          name,
        )
      : phrase(
          'That the {0} is a sum of these bytes is a guess, and it is written over. If it is none, data are lost. Compare with a second dump first.',
          name,
        ),
  );
  if (!guesses) return ofOptions;
  return [...ofOptions, ...(changesGuessedLines(before, after) ? [GUESSED_LINES] : []), ...ofTotals];
}

const GUESSED_LINES = phrase(
  'How the lines of this dump are summed is a guess, and their last bytes are written by it. If it is wrong, data are lost. Work the rule out from dumps with other data first.',
);

/** Whether a change writes line sums by a rule that is only a guess: each line that changes has its sum written. */
function changesGuessedLines({ rows, profile }: Dump, after: Dump): boolean {
  if (profile.lineSum?.confidence !== 'guess') return false;
  return rows.length !== after.rows.length || rows.some(({ text }, row) => text !== after.rows[row]?.text);
}

/** File sums that are only a guess, and that a change writes over or balances. */
function guessedTotals(before: Dump, after: Dump): readonly Total[] {
  return before.totals.flatMap(({ total }, i) => {
    if (total.confidence !== 'guess') return [];
    const [was, is] = [readTotal(before, i), readTotal(after, i)];
    if (was?.stored !== is?.stored) return total;
    return total.keep && is?.stored === is?.computed && coveredText(before, i) !== coveredText(after, i) ? total : [];
  });
}

/** Before it is known what a change writes: what it touches in any case, and the file sums that are only a guess. */
export function cautionAhead({ profile }: Dump, hazards: readonly Hazard[]): Phrase | undefined {
  const isGuess = ({ confidence }: Pick<Total, 'confidence'>) => confidence === 'guess';
  const guessed = [
    ...(profile.lineSum !== undefined && isGuess(profile.lineSum) ? [LINE_SUMS] : []),
    ...profile.totals.filter(isGuess).map(({ name }) => name),
  ];
  const parts = [shortCaution(hazards) ?? [], guessed.length === 0 ? [] : guessInShort(guessed)].flat();
  return parts.length === 0 ? undefined : listed(parts, ' ');
}

const LINE_SUMS = phrase('line sums');

function guessInShort(names: readonly PhrasePart[]): Phrase {
  return phrase('⚠ {0}: only a guess', listed(names));
}

/** What stands in the rows that a total covers. */
function coveredText({ rows, totals }: Dump, index: number): string {
  const covered: number[] = [];
  totals[index]?.run.each((row) => void covered.push(row));
  return [...new Set(covered)].map((row) => rows[row]?.text).join('');
}

/** The same in a few words, with the options that change with no one asking for it. */
export function cautionsInShort(
  before: Dump,
  after: Dump,
  alsoChanged: readonly Option[],
  { guesses = true } = {},
): Phrase | undefined {
  const touches = shortCaution([...new Set(changedOptions(before, after).flatMap(({ hazards }) => hazards))]);
  const also = alsoChanged.map(({ title }) => title);
  const guessed = !guesses
    ? []
    : [
        ...(changesGuessedLines(before, after) ? [LINE_SUMS] : []),
        ...guessedTotals(before, after).map(({ name }) => name),
      ];
  const parts = [
    ...(touches ? [touches] : []),
    ...(guessed.length > 0 ? [guessInShort(guessed)] : []),
    ...(also.length > 0 ? [phrase('⚠ also changes {0}', listed(also))] : []),
  ];
  return parts.length === 0 ? undefined : listed(parts, ' ');
}
