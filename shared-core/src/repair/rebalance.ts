import { listed, type Phrase, phrase } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';
import { finish, type Steps } from '../base/steps.js';
import { afterWrites, type ByteWrite, netWrites } from '../model/byteWrite.js';
import { type Cell, cellKey } from '../model/cell.js';
import { withCopies, withTied } from '../model/copies.js';
import type { Dump } from '../model/dump.js';
import { nameOfSum, readTotal, wrongTotals } from '../model/totalReading.js';
import type { BoundTotal } from '../model/totals.js';
import { sumName } from '../profile/sumName.js';
import { type FreeCell, freeCells, optionCells } from './freeCells.js';
import { independentParts, type Part } from './independentParts.js';
import { rightLineSum, withLineSums } from './lineSums.js';
import { balanceCount, optionsBalanced, type Repaired } from './repaired.js';
import { whyImpossible } from './repairInWords.js';
import { solveTaskInSteps } from './solver/solve.js';
import { type Allowance, type Budget, type Change, isUsedUp } from './solver/system.js';
import { taskOf } from './taskOf.js';
import { brokenTotal, protectionOf, rewriteTotals } from './totals.js';

/** Enough for what a line can do under any sums; half a second at most for the fewest bytes, and some milliseconds as a rule. */
const STEPS = 10_000_000;

/** The work for one repair; `allowance` is what it may take of the work of several. */
export function wholeBudget(allowance?: Allowance): Budget {
  return { steps: STEPS, allowance };
}

/**
 * Brings totals back to their stored values by changing some of the given bytes, and corrects the line sums. Kept totals,
 * and right ones in a protected place, come out right too; all others are rewritten where they cover a changed byte.
 * Bytes that hold an option change only where the others cannot do it.
 */
export function rebalance(
  dump: Dump,
  cells: readonly FreeCell[],
  totals: readonly number[],
  budget: Budget = wholeBudget(),
): Result<Repaired> {
  return finish(rebalanceInSteps(dump, cells, totals, budget));
}

/** The same in steps. */
export function rebalanceInSteps(
  dump: Dump,
  cells: readonly FreeCell[],
  totals: readonly number[],
  budget: Budget = wholeBudget(),
): Steps<Result<Repaired>> {
  return rebalanceByFirst(dump, [cells], totals, budget);
}

/**
 * The same by the first group of bytes that can, else by several together. What is said of the result is shown for the
 * bytes of all groups, and so is the reason why there is none.
 */
export function* rebalanceByFirst(
  dump: Dump,
  groups: readonly (readonly FreeCell[])[],
  totals: readonly number[],
  budget: Budget = wholeBudget(),
): Steps<Result<Repaired>> {
  const allowed = groups.flat();
  const sums = rightDependentSums(dump, rowsMoving(dump, allowed), totals);
  const sound = afterWrites(dump, sums);
  const options = optionCells(dump, allowed);
  const all = setsToTry(groups, options);
  const goal = goalOf(sound, totals);
  const aims = [...new Set([...totals, ...goal.wrong])];
  const parts = goal.indirect.size === 0 ? independentParts(sound, groups, aims, goal.demands) : undefined;
  if (parts !== undefined) {
    const balanced = yield* balanceParts(sound, parts, options, goal, budget);
    if (!balanced.ok) return balanced;
    const writes = netWrites(dump, [...sums, ...balanced.value.writes]);
    return done({ ...balanced.value, writes, alsoChanged: optionsBalanced(dump, writes) });
  }
  const sets: (readonly FreeCell[])[] = [];
  for (const cells of all) {
    yield;
    if (cells === all.at(-1) || mayDo(sound, cells, goal)) sets.push(cells);
  }
  // All that are tried before the last take as long as that.
  const share = { ...budget, steps: budget.steps / Math.max(1, sets.length - 1) };
  let last: Result<Balanced> = refuse(phrase('No byte is free here: all are locked, hold an option or a sum.'));
  for (const cells of sets) {
    const isLast = cells === sets.at(-1);
    last = yield* balance(sound, cells, goal, isLast ? budget : share);
    if (isUsedUp(budget.allowance)) return refuse(GAVE_UP);
    if (!last.ok) continue;
    const claims = isLast ? last.value : yield* claimsOf(sound, last.value.writes, allowed, totals, budget.allowance);
    const writes = netWrites(dump, [...sums, ...last.value.writes]);
    return done({ writes, unique: claims.unique, fewest: claims.fewest, alsoChanged: optionsBalanced(dump, writes) });
  }
  return last;
}

const GAVE_UP = phrase(
  'No solution was found in the time allowed. Use a line with more free bytes, or fewer sums at once.',
);

/** The work to find out what can be claimed: a person waits for the change, not for the claim. */
const STEPS_FOR_CLAIMS = 1_000_000;

/**
 * What can be claimed of a change of a dump whose dependent sums are right, among all bytes that were allowed: nothing
 * where that takes long to find out, or where the work is shared with others.
 */
export function* claimsOf(
  dump: Dump,
  writes: readonly ByteWrite[],
  allowed: readonly FreeCell[],
  totals: readonly number[],
  allowance: Allowance | undefined,
): Steps<Pick<Repaired, 'unique' | 'fewest'>> {
  if (allowance !== undefined) return { unique: false, fewest: false };
  const best = yield* balance(dump, allowed, goalOf(dump, totals), { steps: STEPS_FOR_CLAIMS });
  if (!best.ok || balanceCount(best.value.writes) !== balanceCount(writes)) return { unique: false, fewest: false };
  return { unique: best.value.unique, fewest: best.value.fewest };
}

/** Bytes without options before those with, one group before all together; all that is allowed comes last. */
function setsToTry(
  groups: readonly (readonly FreeCell[])[],
  options: ReadonlySet<number>,
): readonly (readonly FreeCell[])[] {
  const plain = groups.map((cells) => cells.filter((cell) => !options.has(cellKey(cell))));
  const sets = new Map<string, readonly FreeCell[]>();
  for (const cells of [...plain, plain.flat(), ...groups, groups.flat()])
    if (cells.length > 0) sets.set(cells.map(cellKey).join(), cells);
  return [...sets.values()];
}

interface Balanced {
  readonly writes: readonly ByteWrite[];
  readonly unique: boolean;
  readonly fewest: boolean;
}

/** Balances a dump whose dependent sums are right with these bytes; what is said of the result is shown for them. */
function* balance(dump: Dump, cells: readonly FreeCell[], goal: Goal, budget: Budget): Steps<Result<Balanced>> {
  const balanced = yield* balancedBytes(dump, cells, goal, budget);
  return balanced.ok ? withSums(dump, balanced.value, goal) : balanced;
}

/** Balances parts that have no byte in common, each with its own bytes. */
function* balanceParts(
  dump: Dump,
  parts: readonly Part[],
  options: ReadonlySet<number>,
  goal: Goal,
  budget: Budget,
): Steps<Result<Balanced>> {
  const writes: ByteWrite[] = [];
  let [unique, fewest] = [true, true];
  // What many parts take together is bounded as well.
  const allowance = budget.allowance ?? { left: STEPS_OF_PARTS * budget.steps };
  for (const { groups, totals, demands } of parts) {
    const own: Goal = { ...goal, totals, demands, wrong: totals };
    const claims = budget.allowance === undefined;
    const balanced = yield* balancePart(dump, setsToTry(groups, options), own, { ...budget, allowance }, claims);
    if (isUsedUp(allowance)) return refuse(GAVE_UP);
    if (!balanced.ok) return balanced;
    writes.push(...balanced.value.writes);
    unique &&= balanced.value.unique;
    fewest &&= balanced.value.fewest;
  }
  return withSums(dump, { writes, unique, fewest }, goal);
}

/** All parts together take at most so many times the steps of one. */
const STEPS_OF_PARTS = 16;

/** By the first bytes that can; what is said of the result is shown for the last of them, which are all. */
function* balancePart(
  dump: Dump,
  sets: readonly (readonly FreeCell[])[],
  goal: Goal,
  budget: Budget,
  claims: boolean,
): Steps<Result<Balanced>> {
  const all = sets.at(-1) ?? [];
  for (const cells of sets) {
    if (cells === all) break;
    if (!mayDo(dump, cells, goal)) continue;
    const some = yield* balancedBytes(dump, cells, goal, budget);
    if (!some.ok) continue;
    if (!claims) return done({ ...some.value, unique: false, fewest: false });
    const best = yield* balancedBytes(dump, all, goal, { ...budget, steps: STEPS_FOR_CLAIMS });
    const isBest = best.ok && best.value.writes.length === some.value.writes.length;
    return done({ ...some.value, unique: isBest && best.value.unique, fewest: isBest && best.value.fewest });
  }
  return yield* balancedBytes(dump, all, goal, budget);
}

/** New values of these bytes, without the sums that change with them. */
function* balancedBytes(
  dump: Dump,
  cells: readonly FreeCell[],
  { totals, demands, indirect }: Goal,
  budget: Budget,
): Steps<Result<Balanced>> {
  const unreadable = demands.find((index) => readTotal(dump, index) === undefined);
  if (unreadable !== undefined) {
    return refuse(
      phrase('The {0} cannot be balanced: a line it covers is missing or cannot be read.', nameOfSum(dump, unreadable)),
    );
  }
  const rows = rowsMoving(dump, cells);
  const isMet = (index: number) => {
    const reading = readTotal(dump, index);
    return reading?.stored === reading?.computed && !indirect.has(index) && !coversAny(dump, index, rows);
  };
  const open = demands.filter((index) => !isMet(index));
  if (cells.length * (open.length + rows.length) > MOST_PLACES_PER_STEP * budget.steps) return refuse(GAVE_UP);
  const task = yield* taskOf(dump, cells, open);
  if (task === undefined) {
    return refuse(phrase('Sums that cover each other in a circle change with these bytes. Use other bytes.'));
  }
  const answer = yield* solveTaskInSteps(task, budget);
  if (answer.kind === 'gave-up') {
    return refuse(GAVE_UP);
  }
  if (answer.kind === 'impossible') {
    const why = whyImpossible(dump, cells, answer.proof);
    const others = demands.filter((index) => !totals.includes(index)).map((index) => nameOfSum(dump, index));
    return refuse(others.length === 0 ? why : phrase('{0} These must stay right too: {1}.', why, listed(others)));
  }
  return done({ ...answer, writes: writesOf(cells, answer.change) });
}

/** The same with all sums that change with these bytes, if what must come out right does. */
function withSums(dump: Dump, { writes: own, unique, fewest }: Balanced, { demands }: Goal): Result<Balanced> {
  const changed = withLineSums(dump, withCopies(dump, own));
  const demanded = new Set(demands.map((index) => dump.totals[index]?.total));
  const linesRight = afterWrites(dump, changed);
  const rewrites = rewriteTotals(linesRight, ({ total }) => !total.keep && !demanded.has(total));
  const writes = netWrites(dump, [...changed, ...rewrites]);
  const wrong = whyStillWrong(dump, rewrites.length === 0 ? linesRight : afterWrites(dump, writes), demands);
  return wrong === undefined ? done({ writes, unique, fewest }) : refuse(wrong);
}

/** More bytes times sums than these for each step of the work are not even listed. */
const MOST_PLACES_PER_STEP = 4;

/** What is to come right with a change. */
interface Goal {
  readonly totals: readonly number[];
  /** The totals to bring right and those that must stay so. */
  readonly demands: readonly number[];
  /** Those of them that are wrong. */
  readonly wrong: readonly number[];
  /** Those of them that change with a total that is rewritten, whatever bytes change. */
  readonly indirect: ReadonlySet<number>;
}

function goalOf(dump: Dump, totals: readonly number[]): Goal {
  const demands = demandsOf(dump, totals);
  const demanded = new Set(demands);
  const rewritten = dump.totals.filter(({ total }, index) => !total.keep && !demanded.has(index));
  const rows = [...new Set(rewritten.flatMap(({ stored }) => (stored ?? []).map(({ row }) => row)))];
  const wrong = wrongTotals(dump).filter((index) => demanded.has(index));
  return { totals, demands, wrong, indirect: new Set(demands.filter((index) => coversAny(dump, index, rows))) };
}

function coversAny({ totals }: Dump, index: number, rows: readonly number[]): boolean {
  return rows.some((row) => (totals[index] as BoundTotal).run.piecesIn(row).length > 0);
}

/** The rows of some bytes, and of those that hold the same in copies. */
function rowsMoving(dump: Dump, cells: readonly Cell[]): readonly number[] {
  return [...new Set(withTied(dump, cells).map(({ row }) => row))];
}

/** Whether some bytes reach all totals that are wrong: of thousands of places most do not. */
function mayDo(dump: Dump, cells: readonly Cell[], { wrong, indirect }: Goal): boolean {
  const rows = rowsMoving(dump, cells);
  return wrong.every((index) => indirect.has(index) || coversAny(dump, index, rows));
}

/** Whatever the algebra says, only sums that come out right from scratch are handed on. */
function whyStillWrong(before: Dump, after: Dump, demands: readonly number[]): Phrase | undefined {
  const wrong = wrongTotals(after).find((index) => demands.includes(index));
  const broken = wrong === undefined ? brokenTotal(before, after) : after.totals[wrong]?.total;
  if (broken === undefined) return undefined;
  return phrase('The {0} cannot be kept: it covers another sum that changes with it.', sumName(broken));
}

/** Writes that put right what depends on the change: the sums of changed lines, and totals that are rewritten, with the lines that hold them. */
function rightDependentSums(dump: Dump, rows: readonly number[], totals: readonly number[]): readonly ByteWrite[] {
  const depends = dump.totals.filter(
    ({ total }, index) => !total.keep && !totals.includes(index) && protectionOf(dump, total) === undefined,
  );
  const holding = depends.flatMap(({ stored }) => stored ?? []);
  const lines = [...new Set([...rows, ...holding.map(({ row }) => row)])].flatMap((row) => rightLineSum(dump, row));
  const names = new Set(depends.map(({ total }) => total));
  return [...lines, ...rewriteTotals(afterWrites(dump, lines), ({ total }) => names.has(total))];
}

/** The totals to bring right, all kept ones that can be told, and right ones that are never rewritten. */
function demandsOf(dump: Dump, totals: readonly number[]): readonly number[] {
  const others = [...dump.totals.entries()].flatMap(([index, { total }]) => {
    const reading = readTotal(dump, index);
    const mustBeRight =
      total.keep || (reading?.stored === reading?.computed && protectionOf(dump, total) !== undefined);
    return reading !== undefined && mustBeRight ? index : [];
  });
  return [...new Set([...totals, ...others])].sort((a, b) => a - b);
}

function writesOf(cells: readonly Cell[], change: Change): readonly ByteWrite[] {
  return change.map(({ index, value }) => {
    const { row, byte } = cells[index] as Cell;
    return { row, byte, value, reason: 'balance' };
  });
}

/** Lines that are looked at for those that could take up a difference. */
const MOST_LOOKED_AT = 200;

/**
 * Rows of the first lines that could take up the difference, each alone or each together with the given cells; those
 * that were found where the allowance is used up.
 */
export function* rowsThatCould(
  dump: Dump,
  totals: readonly number[],
  most: number,
  together: readonly FreeCell[] = [],
  allowance?: Allowance,
): Steps<readonly number[]> {
  const rows: number[] = [];
  for (const row of Array.from(dump.layout.order).slice(0, MOST_LOOKED_AT)) {
    if (rows.length === most || isUsedUp(allowance)) break;
    const cells = freeCells(dump, row).filter((cell) => !together.some((other) => cellKey(other) === cellKey(cell)));
    if (cells.length === 0) continue;
    const budget = { ...shareOfSteps(MOST_LOOKED_AT), allowance };
    if ((yield* rebalanceInSteps(dump, [...together, ...cells], totals, budget)).ok) rows.push(row);
  }
  return rows;
}

/** The work for each of several lines that are tried, so that all of them together take about as long as a few alone. */
export function shareOfSteps(lines: number): Budget {
  return { steps: Math.min(STEPS, Math.ceil((2 * STEPS) / lines)) };
}
