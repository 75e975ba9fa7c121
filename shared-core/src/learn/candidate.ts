import { SURE } from '../base/odds.js';
import { isBetween, numbersOf } from '../format/label.js';
import type { Label } from '../format/row.js';
import type { CountedLine } from './draftLines.js';
import { draftProfile, type PlacedTotal } from './draftProfile.js';
import type { FoundTotal } from './foundTotals.js';
import type { RecordsOfText } from './learnForm/dumps.js';
import type { LearnedForm } from './learnForm/form.js';
import type { LearnCandidate } from './learning.js';
import type { LineToLearn } from './learnSums/line.js';
import { type LineRule, leavesTooMany } from './learnSums/lineRule.js';

/** A rule for lines, or none, with the lines that it leaves, and whether other rules fit as well. */
interface FoundRule {
  readonly rule: LineRule | undefined;
  readonly damaged: readonly LineToLearn[];
  readonly hasRivals: boolean;
  readonly eitherEnd: boolean;
}

/** A draft by a rule for lines and a total, either of which may be unknown, with what speaks for it. */
export function candidate(
  form: LearnedForm,
  dumps: readonly RecordsOfText[],
  { rule, damaged: unexplained, hasRivals, eitherEnd }: FoundRule,
  total: FoundTotal | undefined,
  module: number | undefined,
  undecided: boolean,
): LearnCandidate {
  const damaged = unexplained.map((line) => damagedIn(line, dumps));
  const lines = dumps.reduce((sum, dump) => sum + dump.lines.length, 0);
  const chance = rule === undefined && total === undefined ? 1 : (rule?.chance ?? 0) + (total?.chance ?? 0);
  const leaves = rule !== undefined && leavesTooMany(rule);
  const isGuess = hasRivals || leaves || (rule?.chance ?? 0) > SURE;
  const placed: PlacedTotal | undefined = total && { rule: total, pattern: total.pattern };
  return {
    profile: draftProfile(form, countedLines(dumps, rule?.width ?? 0), rule, placed, module, isGuess),
    from: dumps.map(({ name }) => name),
    lines: rule?.lines ?? lines,
    linesExplained: rule === undefined ? 0 : rule.lines - rule.wrong.length,
    totalExplained: total === undefined ? undefined : total.wrong.length === 0,
    chance: Math.min(1, chance),
    chances: { lines: rule?.chance ?? null, total: total?.chance ?? null },
    damaged,
    unread: [],
    unmarked: [],
    undecided: undecided || leaves || isDoubtful(total, dumps.length),
    eitherEnd,
  };
}

/** A line that does not follow the rule, by its label and as its dump calls it. */
function damagedIn({ dump, label }: LineToLearn, dumps: readonly RecordsOfText[]): LearnCandidate['damaged'][number] {
  const { name = '', namer } = dumps[dump] ?? {};
  return { name, label, called: namer?.()(label) ?? label };
}

/** Whether a total leaves dumps unexplained that are no rare exception. */
function isDoubtful(total: FoundTotal | undefined, dumps: number): boolean {
  return total !== undefined && total.wrong.length * 10 > dumps;
}

/** All lines of some dumps, with those that cannot be read where their labels are among the others. */
function countedLines(dumps: readonly RecordsOfText[], width: number): readonly CountedLine[] {
  const counts = new Map<Label, number | undefined>();
  for (const { lines } of dumps)
    for (const { label, bytes } of lines) if (!counts.has(label)) counts.set(label, bytes.length - width);
  const labels = [...counts.keys()];
  const [some] = labels;
  const numbers = some === undefined ? 0 : numbersOf(some)?.length;
  for (const { torn, lines } of dumps) {
    const [from, to] = [lines[0]?.label, lines.at(-1)?.label];
    if (from === undefined || to === undefined) continue;
    const isNear = (label: Label) =>
      isBetween(label, { from, to }) || (typeof label === 'number' && typeof to === 'number' && isNext(label, lines));
    for (const label of torn)
      if (numbersOf(label)?.length === numbers && isNear(label) && !counts.has(label)) counts.set(label, undefined);
  }
  return [...counts];
}

/** Whether a number is the one before the first line or behind the last one. */
function isNext(label: number, lines: RecordsOfText['lines']): boolean {
  const [first, second] = [Number(lines[0]?.label), Number(lines[1]?.label)];
  const last = Number(lines.at(-1)?.label);
  return label === first - (second - first) || label === last + (second - first);
}
