import { listed, type Phrase, type PhrasePart, phrase } from '../base/phrase.js';
import { bytesOf } from '../format/row.js';
import type { ByteWrite } from '../model/byteWrite.js';
import { cellKey, cellsOfOption, presentCells } from '../model/cell.js';
import { withTied } from '../model/copies.js';
import type { Dump } from '../model/dump.js';
import { labelOfRow, rowOfLine } from '../model/layout.js';
import { lineCalled } from '../model/lineName.js';
import { changedOptions } from '../model/optionReading.js';
import { readTotal } from '../model/totalReading.js';
import type { Hazard, Option, Profile, Total } from '../profile/profile.js';
import { sumName } from '../profile/sumName.js';
import { caution, shortCaution } from './hazard.js';

/** What cautions of a change go by beside its two sides. */
interface Told {
  readonly writes?: readonly ByteWrite[];
  /** Not where all bytes are known otherwise: nothing is a guess then. */
  readonly guesses?: boolean;
  /** The dump's own backup, sealed and sound. */
  readonly backup?: Dump | undefined;
}

/**
 * What a person must know before a change is written: the records that were in doubt before, the caution of each changed
 * option that has a hazard, and each file sum that is only a guess and goes along with it.
 */
export function cautionsOfChange(
  before: Dump,
  after: Dump,
  { writes = [], guesses = true, backup }: Told = {},
): readonly Phrase[] {
  const ofOptions = changedOptions(before, after).flatMap(({ title, hazards }) => {
    const says = caution(hazards);
    return says === undefined ? [] : phrase('{0}: {1}', title, says);
  });
  const ofTotals = guessedTotals(before, after).map(({ total, isWrittenOver }) =>
    !isWrittenOver
      ? phrase(
          'That the {0} is a sum of these bytes is a guess, and bytes are written to keep it. If it is none, they become wrong. Compare with a second dump first.',
          sumName(total),
        )
      : phrase(
          'That the {0} is a sum of these bytes is a guess, and it is written over. If it is none, data are lost. Compare with a second dump first.',
          sumName(total),
        ),
  );
  return [
    ...doubtInWords(before, doubtfulRecords(before, writes, backup)),
    ...ofOptions,
    ...(guesses && changesGuessedLines(before, after) ? [GUESSED_LINES] : []),
    ...(guesses ? ofTotals : []),
  ];
}

const GUESSED_LINES = phrase(
  'How the lines of this dump are summed is a guess, and their last bytes are written by it. If it is wrong, data are lost. Work the rule out from dumps with other data first.',
);

/** Whether a change writes line sums by a rule that is only a guess: each line that changes has its sum written. */
function changesGuessedLines({ rows, profile }: Dump, after: Dump): boolean {
  if (profile.lineSum?.confidence !== 'guess') return false;
  return rows.length !== after.rows.length || rows.some(({ text }, row) => text !== after.rows[row]?.text);
}

/**
 * Records and lines whose own sum was wrong and that a change writes into: which of their bytes is damaged nobody knows,
 * and their sum is right afterwards. Not those whose bytes go back to what a backup holds, nor lines of which a sealed backup,
 * in which their sum is right, tells that nothing but options, balance and sums has changed since it was read.
 */
function doubtfulRecords(dump: Dump, writes: readonly ByteWrite[], backup: Dump | undefined): readonly number[] {
  const { wrongSums } = dump;
  const restored = new Set(writes.flatMap(({ row, reason }) => (reason === 'restore' ? row : [])));
  const written = new Set(writes.map(({ row }) => row));
  const doubtful = wrongSums.filter((row) => written.has(row) && !restored.has(row));
  if (doubtful.length === 0 || backup === undefined) return doubtful;
  const meant = meantToChange(dump);
  return doubtful.filter((row) => !isExplained(dump, row, backup, meant));
}

/** Whether each data byte of a line that is not as in the backup is one that is meant to change. */
function isExplained({ rows, layout }: Dump, row: number, backup: Dump, meant: ReadonlySet<number>): boolean {
  const [now, label] = [rows[row], labelOfRow(rows[row])];
  const read = label === undefined ? undefined : rowOfLine(backup.layout, label);
  const then = read === undefined || backup.wrongSums.includes(read) ? undefined : backup.rows[read];
  if (now?.kind !== 'record' || then?.kind !== 'record' || now.count !== then.count) return false;
  const before = bytesOf(then);
  return bytesOf(now, 0, layout.dataCount[row]).every(
    (byte, at) => byte === before[at] || meant.has(cellKey({ row, byte: at })),
  );
}

/** The bytes in which people and sums make changes: options, balance places and stored sums, with their copies. */
function meantToChange(dump: Dump): ReadonlySet<number> {
  const { layout, profile, totals } = dump;
  const cells = [
    ...profile.options.flatMap((option) => cellsOfOption(layout, option)),
    ...profile.balance.flatMap(({ place }) => presentCells(layout, place)),
    ...totals.flatMap(({ stored }) => stored ?? []).filter((cell) => cell !== undefined),
  ];
  return new Set(withTied(dump, cells).map(cellKey));
}

function doubtInWords(dump: Dump, [first, ...others]: readonly number[]): readonly Phrase[] {
  if (first === undefined) return [];
  return [
    others.length === 0
      ? phrase(
          'The sum of line {0} was wrong before: its bytes may be damaged. Compare the line with the backup or another read of the module first.',
          lineCalled(dump, first),
        )
      : phrase(
          'The sums of {0} lines, the first of them line {1}, were wrong before: their bytes may be damaged. Compare them with the backup or another read of the module first.',
          others.length + 1,
          lineCalled(dump, first),
        ),
  ];
}

/** A file sum that is only a guess, and whether a change writes over it, or writes other bytes so that it stays. */
interface GuessedTotal {
  readonly total: Total;
  readonly isWrittenOver: boolean;
}

/** File sums that are only a guess, and that a change writes over or balances, whatever the profile would have done. */
function guessedTotals(before: Dump, after: Dump): readonly GuessedTotal[] {
  return before.totals.flatMap(({ total }, i): GuessedTotal | readonly [] => {
    if (total.confidence !== 'guess') return [];
    const [was, is] = [readTotal(before, i), readTotal(after, i)];
    if (was?.stored !== is?.stored) return { total, isWrittenOver: true };
    const isKept = is !== undefined && is.stored === is.computed && coveredBytes(before, i) !== coveredBytes(after, i);
    return isKept ? { total, isWrittenOver: false } : [];
  });
}

/** Before it is known what a change writes: what it touches in any case, and the file sums that are only a guess. */
export function cautionAhead({ profile }: Dump, hazards: readonly Hazard[]): Phrase | undefined {
  const guessed = guessedSums(profile);
  const parts = [shortCaution(hazards) ?? [], guessed.length === 0 ? [] : guessInShort(guessed)].flat();
  return parts.length === 0 ? undefined : listed(parts, ' ');
}

/** The sums of a profile that are only a guess, by what people call them. */
export function guessedSums({ lineSum, totals }: Profile): readonly PhrasePart[] {
  const isGuess = ({ confidence }: Pick<Total, 'confidence'>) => confidence === 'guess';
  return [...(lineSum !== undefined && isGuess(lineSum) ? [LINE_SUMS] : []), ...totals.filter(isGuess).map(sumName)];
}

const LINE_SUMS = phrase('line sums');

function guessInShort(names: readonly PhrasePart[]): Phrase {
  return phrase('⚠ {0}: only a guess', listed(names));
}

/** The bytes that a total covers, in the order in which it sums them. */
function coveredBytes({ rows, totals }: Dump, index: number): string {
  const covered: string[] = [];
  totals[index]?.run.each((row, from, count) => {
    const record = rows[row];
    covered.push(record?.kind === 'record' ? bytesOf(record, from, from + count).join() : '');
  });
  return covered.join();
}

/** The same in a few words, with the options that change with no one asking for it. */
export function cautionsInShort(
  before: Dump,
  after: Dump,
  alsoChanged: readonly Option[],
  { writes = [], guesses = true, backup }: Told = {},
): Phrase | undefined {
  const [doubtful] = doubtfulRecords(before, writes, backup);
  const touches = shortCaution([...new Set(changedOptions(before, after).flatMap(({ hazards }) => hazards))]);
  const also = alsoChanged.map(({ title }) => title);
  const guessed = !guesses
    ? []
    : [
        ...(changesGuessedLines(before, after) ? [LINE_SUMS] : []),
        ...guessedTotals(before, after).map(({ total: { name } }) => name),
      ];
  const parts = [
    ...(doubtful === undefined ? [] : [phrase('⚠ row {0} may be damaged', doubtful + 1)]),
    ...(touches ? [touches] : []),
    ...(guessed.length > 0 ? [guessInShort(guessed)] : []),
    ...(also.length > 0 ? [phrase('⚠ also changes {0}', listed(also))] : []),
  ];
  return parts.length === 0 ? undefined : listed(parts, ' ');
}
