import { hexBytes } from '../base/hex.js';
import { oddsInWords, SURE } from '../base/odds.js';
import { listed, type Phrase, phrase } from '../base/phrase.js';
import { rowsInWords } from '../base/rowsInWords.js';
import { isBetween } from '../format/label.js';
import type { Label } from '../format/row.js';
import { splitLines } from '../format/rows.js';
import { accountInWords } from '../model/account.js';
import type { RecordsOfText } from './learnForm/dumps.js';
import type { Finding, LearnCandidate, TextToLearn } from './learning.js';
import { isCopy } from './learnSums/evidence.js';
import type { LineToLearn } from './learnSums/line.js';
import type { LineRule } from './learnSums/lineRule.js';
import type { LineSumSearch } from './learnSums/lineSums.js';
import type { TotalRule } from './learnSums/totals.js';
import { oddsWithFigures } from './odds.js';

export function othersSaid(others: readonly RecordsOfText[], compared: number): Phrase[] {
  if (others.length === 0) return [];
  const shown = others.slice(0, 5).map(({ name }) => name);
  const names = others.length > 5 ? `${shown.join(', ')} …` : shown.join(', ');
  return [
    others.length === 1
      ? phrase('1 dump has other lines than the {0} that were learned from, and was left out: {1}.', compared, names)
      : phrase(
          '{0} dumps have other lines than the {1} that were learned from, and were left out: {2}.',
          others.length,
          compared,
          names,
        ),
  ];
}

/** What the best rule explains and what was not read, where lines were not. */
export function accountSaid(best: LearnCandidate | undefined, unread: number): readonly Phrase[] {
  if (best === undefined || best.chance >= 1 || unread === 0) return [];
  const { linesExplained: right, lines: all, totalExplained } = best;
  const totals = { right: totalExplained ? 1 : 0, all: totalExplained === undefined ? 0 : 1, unchecked: 0 };
  const lineSums = right === 0 ? undefined : { right, all };
  return [phrase('{0}.', accountInWords({ lineSums, totals, unread }))];
}

/** Which lines without a number hold bytes that no rule gives. */
export function besideSaid({ name, namer, others }: RecordsOfText, explained: Label | undefined): readonly Phrase[] {
  const called = namer();
  const left = others.filter(({ label }) => label !== explained).map(({ label }) => called(label));
  if (left.length === 0) return [];
  return left.length === 1
    ? [
        phrase(
          '{0}: no rule was found that gives the bytes of line {1}, and the draft does not mention it.',
          name,
          listed(left),
        ),
      ]
    : [
        phrase(
          '{0}: no rule was found that gives the bytes of lines {1}, and the draft does not mention them.',
          name,
          listed(left),
        ),
      ];
}

/** That the lines of a text are digits without anything between their parts, and what to do. */
export function runsSaid({ name, text }: TextToLearn): readonly Phrase[] {
  const lines = splitLines(text.slice(0, LONGEST_SAMPLE)).map((line) => line.trim());
  const runs = lines.filter((line) => RUN.test(line));
  const [first] = runs;
  if (first === undefined || runs.length < 3 || runs.length * 2 < lines.length) return [];
  return [
    phrase(
      '{0}: {1} lines are hex digits in one run, and nothing shows where the number of a line ends. Put a colon behind it, such as {2}: {3}.',
      name,
      runs.length,
      first.slice(0, 2),
      first.slice(2),
    ),
  ];
}

const LONGEST_SAMPLE = 100_000;

/** Number, data and sum in one. */
const RUN = /^[0-9A-F]{6,200}$/i;

/** Which lines were not read, as rows of the file. */
export function unreadSaid({ name, lines, unread }: RecordsOfText): readonly Phrase[] {
  if (unread.length === 0) return [];
  const said = phrase('{0} lines read, {1} not read: {2}', lines.length, unread.length, rowsInWords(unread));
  return [phrase('{0}: {1} (rows of the file).', name, said)];
}

/** Which lines hold hex digits and were taken for text. */
export function passedSaid({ name, passed }: RecordsOfText): readonly Phrase[] {
  if (passed.length === 0) return [];
  const [only, ...more] = passed;
  if (only !== undefined && more.length === 0)
    return [phrase('{0}: row {1} is not read as data, though it holds hex digits.', name, only + 1)];
  return [phrase('{0}: not read as data, though they hold hex digits: rows {1}.', name, rowsInWords(passed))];
}

/** What would make a file sum surer that may be chance. */
export function totalSaid(best: LearnCandidate | undefined): readonly Phrase[] {
  const chance = best?.chances.total ?? 0;
  if (best?.totalExplained !== true || best.undecided || chance <= SURE) return [];
  return [
    phrase(
      'The file sum is not sure yet. A dump of the same module of another car, with other values, makes it surer.',
    ),
  ];
}

export function otherTotals(count: number): Phrase {
  return count === 1
    ? phrase('1 other rule for the file sum fits as well. Dumps of other cars may tell them apart.')
    : phrase('{0} other rules for the file sum fit as well. Dumps of other cars may tell them apart.', count);
}

/** Which lines would have to differ for the dumps to tell what a file sum covers. */
export function coverageSaid(
  best: TotalRule | undefined,
  [rival]: readonly TotalRule[],
  dump: RecordsOfText | undefined,
): readonly Phrase[] {
  if (best === undefined || dump === undefined) return [];
  const called = dump.namer();
  const isCovered = (label: Label, { covers: { range } }: TotalRule) => range === undefined || isBetween(label, range);
  const telling = dump.lines
    .map(({ label }) => label)
    .filter((label) => rival && isCovered(label, best) !== isCovered(label, rival));
  const [named, isOne] = [labelsInWords(telling, called), telling.length === 1];
  if (telling.length > 0)
    return [
      isOne
        ? phrase(
            'A dump with another value in line {0} tells the first two rules for the file sum apart: only one of them covers it.',
            named,
          )
        : phrase(
            'A dump with other values in lines {0} tells the first two rules for the file sum apart: only one of them covers these.',
            named,
          ),
    ];
  if (best.unseen.length === 0) return [];
  return [
    best.unseen.length === 1
      ? phrase(
          'Line {0} is the same in all dumps, and the file sum has a constant that was worked out: whether it covers this line is a guess. A dump with another value there decides it.',
          labelsInWords(best.unseen, called),
        )
      : phrase(
          'Lines {0} are the same in all dumps, and the file sum has a constant that was worked out: whether it covers them is a guess. A dump with other values there decides it.',
          labelsInWords(best.unseen, called),
        ),
  ];
}

const MOST_LABELS = 12;

function labelsInWords(labels: readonly Label[], called: (label: Label) => string): string {
  return `${labels.slice(0, MOST_LABELS).map(called).join(', ')}${labels.length > MOST_LABELS ? ' …' : ''}`;
}

/** What the search for the line sums has left open. */
export function said(search: LineSumSearch, lines: readonly LineToLearn[], dumps: readonly RecordsOfText[]): Phrase[] {
  const { rules, undecided, damaged, nearest, alsoFront } = search;
  const [best] = rules;
  if (best === undefined) return [nothingFound(nearest, lines.length), ...copySaid(lines)];
  const remarks: Phrase[] = [];
  const [open] = undecided;
  if (open !== undefined) {
    remarks.push(
      undecided.length === 1
        ? phrase('1 other rule fits these lines as well.')
        : phrase('{0} other rules fit these lines as well.', undecided.length),
      open.telling === undefined
        ? phrase('Dumps of other cars may tell them apart.')
        : phrase(
            'A line {0} with the data {1} would tell the first two rules apart: it ends in {2} by the first and in {3} by the second.',
            dumps[0]?.namer()(open.telling.label) ?? open.telling.label,
            hexBytes(open.telling.data, ' '),
            hexBytes(open.telling.first, ' '),
            hexBytes(open.telling.second, ' '),
          ),
    );
  }
  if (alsoFront)
    remarks.push(
      phrase(
        'Two bytes of each line may be its sum, as the rule fits both: the last one, which is taken here, or the first one. Look at two dumps that differ in one value: where the last byte of its line differs too, go on; where the first byte does, change nothing by this rule.',
      ),
    );
  if (best.chance > SURE) {
    remarks.push(
      phrase(
        'Only {0} different lines, so that the rule is not sure. Dumps with other data make it surer.',
        best.distinct,
      ),
    );
  }
  return [...remarks, ...wrongSaid(best, damaged, dumps)];
}

function wrongSaid(
  { wrong, lines }: LineRule,
  damaged: readonly LineToLearn[],
  dumps: readonly RecordsOfText[],
): Phrase[] {
  const [first] = damaged.length > 0 ? damaged : wrong;
  if (first === undefined) return [];
  const { name = '', namer } = dumps[first.dump] ?? {};
  const called = namer?.()(first.label) ?? first.label;
  if (damaged.length === 0)
    return [
      phrase(
        'Line {0} of {1} does not follow the rule ({2} of {3} lines do not). These dumps do not say whether the line is damaged or the rule is wrong.',
        called,
        name,
        wrong.length,
        lines,
      ),
    ];
  return [
    damaged.length === 1
      ? phrase('1 of {0} lines does not follow the rule and is probably damaged: line {1} of {2}.', lines, called, name)
      : phrase(
          '{0} of {1} lines do not follow the rule and are probably damaged, first line {2} of {3}.',
          damaged.length,
          lines,
          called,
          name,
        ),
  ];
}

/** Says that the last byte of all lines is another one again, which any sum over such lines would give. */
function copySaid(lines: readonly LineToLearn[]): Phrase[] {
  const length = lines[0]?.bytes.length ?? 0;
  if (lines.length < 3 || lines.some(({ bytes }) => bytes.length !== length)) return [];
  const column = (byte: number) => Uint8Array.from(lines, ({ bytes }) => bytes[byte] as number);
  const last = column(length - 1);
  if (last.every((byte) => byte === last[0])) return [];
  for (let byte = length - 2; byte >= 0; byte--) {
    const other = column(byte);
    if (isCopy(last, other))
      return [
        last[0] === other[0]
          ? phrase('The last byte of each line repeats byte {0}: that is no proof of a sum.', byte + 1)
          : phrase('The last byte of each line is the complement of byte {0}: that is no proof of a sum.', byte + 1),
      ];
  }
  return [];
}

function nothingFound(nearest: LineRule | undefined, lines: number): Phrase {
  if (lines < 2) return phrase('One line alone teaches nothing. Give a whole dump, or several.');
  return nearest === undefined
    ? phrase('No rule was found by which these lines are summed. They may have no sum of their own, or be all alike.')
    : phrase(
        'No rule was found by which these lines are summed. The nearest explains {0} of {1} lines, as wrong rules do too.',
        nearest.lines - nearest.wrong.length,
        nearest.lines,
      );
}

/** Of one kind no more than these are told; all of them are in the JSON. */
const MOST_OF_A_KIND = 12;

/** What was found in images, each with how likely it is an accident. */
export function findingsSaid(findings: readonly Finding[]): readonly Phrase[] {
  const kinds = [...new Set(findings.map(({ kind }) => kind))];
  return kinds.flatMap((kind) => {
    const some = findings.filter((one) => one.kind === kind);
    const more = some.length - MOST_OF_A_KIND;
    return [
      ...some.slice(0, MOST_OF_A_KIND).map(findingSaid),
      ...(more > 0 ? [phrase('… and {0} more of the same kind', more)] : []),
    ];
  });
}

function findingSaid({ said: what, chance, undecided }: Finding): Phrase {
  return listed([what, undecided ? oddsInWords(chance, true) : oddsWithFigures(chance)], '; ');
}
