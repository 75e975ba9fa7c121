import {
  balanceGroups,
  bytesOf,
  type Cell,
  contentOf,
  type Dump,
  editsOf,
  firstThatCan,
  freeCells,
  hex,
  hexBytes,
  labelOfRow,
  listed,
  type Phrase,
  type Problem,
  phrase,
  type RecordRow,
  type Repair,
  readTotal,
  recordName,
  repairAll,
  rewriteTotal,
  rightLineSum,
  rightSums,
  rowsThatCould,
  totalLine,
} from '../../../../shared-core/src/index.js';
import type { Analysis } from '../../session.js';
import { rebalanceFix } from './balanceFix.js';
import { type Fix, fromRepair } from './fix.js';

export function lineSumFix(dump: Dump, row: number): Fix {
  const writes = rightLineSum(dump, row);
  const record = dump.rows[row] as RecordRow;
  const found = hexBytes(bytesOf(record, record.count - (dump.rule?.width ?? 1)));
  const title = phrase(
    'Right the sum of line {0}: {1} to {2}',
    recordName(record),
    found,
    hexBytes(writes.map(({ value }) => value)),
  );
  return { kind: 'edits', title, edits: editsOf(dump, writes), preferred: true };
}

export function totalFixes(dump: Dump, problem: Problem, commands: boolean): readonly Fix[] {
  const index = dump.totals.findIndex(
    ({ stored }) =>
      stored?.some(({ row }) => row === problem.row) && stored[0] !== undefined && isAt(dump, stored[0], problem),
  );
  const reading = readTotal(dump, index);
  if (reading === undefined || reading.computed === reading.stored) return [];
  const { total, width } = reading.bound;
  const rewriteTitle = phrase(
    'Rewrite the {0}: {1} to {2}',
    total.name,
    hex(reading.stored, 2 * width),
    hex(reading.computed, 2 * width),
  );
  const rewrite: Fix = {
    kind: 'edits',
    title: rewriteTitle,
    edits: editsOf(dump, rewriteTotal(dump, index)),
    preferred: !total.keep,
  };
  const balanced = balanceFixes(dump, index);
  const other: Fix[] = commands
    ? [
        {
          kind: 'command',
          title:
            dump.layout.kind === 'image'
              ? phrase('Rebalance {0} using addresses…', total.name)
              : phrase('Rebalance {0} using another line…', total.name),
          command: 'countersum.rebalance',
        },
      ]
    : rowsThatCould(dump, [index], 4).flatMap((row) => rebalanceFix(dump, index, freeCells(dump, row), false));
  return total.keep ? [...balanced, ...other, rewrite] : [rewrite, ...balanced, ...other];
}

function isAt(dump: Dump, cell: Cell, problem: Problem): boolean {
  const record = dump.rows[cell.row];
  return record?.kind === 'record' && dump.notation.digitPlaces(record)[2 * cell.byte] === problem.start;
}

/** Rebalancing with the profile's own places; the first that can is the one to take. */
function balanceFixes(dump: Dump, index: number): readonly Fix[] {
  const groups = balanceGroups(dump);
  const fixes = groups.flatMap((cells) => rebalanceFix(dump, index, cells, false));
  const keep = dump.totals[index]?.total.keep === true;
  if (fixes.length > 0 || groups.length === 0) {
    return fixes.map((fix, i) => (fix.kind === 'edits' ? { ...fix, preferred: keep && i === 0 } : fix));
  }
  const repair = firstThatCan(dump, groups, [index]);
  if (repair.kind === 'writes') return rebalanceFix(dump, index, groups.flat(), keep);
  const labels = (rows: readonly number[]) => listed(rows.map((row) => labelOfRow(dump.rows[row]) ?? row + 1));
  if (dump.layout.kind === 'image') return [refusedBalance(dump, index, repair.why)];
  const alone = rowsThatCould(dump, [index], 5);
  const together = alone.length > 0 ? [] : rowsThatCould(dump, [index], 5, groups.flat());
  const why =
    alone.length > 0
      ? phrase('{0} Lines that could: {1}.', repair.why, labels(alone))
      : together.length > 0
        ? phrase('{0} Lines that could together with these places: {1}.', repair.why, labels(together))
        : repair.why;
  return [refusedBalance(dump, index, why)];
}

function refusedBalance({ totals }: Dump, index: number, why: Phrase): Fix {
  const name = totals[index]?.total.name ?? '';
  return { kind: 'refused', title: phrase('Rebalance {0} using the balance places', name), why };
}

export function addTotal(dump: Dump, problem: Problem): readonly Fix[] {
  const index = dump.totals.findIndex(
    ({ total }) => total.stored.kind === 'record' && total.stored.label === problem.label,
  );
  const bound = dump.totals[index];
  const line = totalLine(dump, index);
  if (bound === undefined || line === undefined) return [];
  const end = contentOf(dump.rows[problem.row]?.text ?? '').length;
  const title = phrase('Add the {0}: "{1}"', bound.total.name, line.text);
  return [
    { kind: 'edits', title, edits: [{ row: problem.row, start: end, end, text: `\n${line.text}` }], preferred: true },
  ];
}

/** What makes every sum right in one step, rebalancing included. */
export function repairOfAll({ dump }: Analysis): Repair {
  return repairAll(dump, { totals: 'keep' });
}

export function repairEverything(explained: Analysis): Fix | undefined {
  const repair = repairOfAll(explained);
  if (repair.kind === 'writes' && repair.writes.length === 0) return undefined;
  const title =
    repair.kind === 'writes'
      ? phrase('Make all sums right ({0} bytes change)', repair.writes.length)
      : phrase('Make all sums right');
  return fromRepair(explained.dump, title, repair);
}

/** The repair that an editor may do at each save: no data byte is touched. */
export function rightSumsFix({ dump }: Analysis): Fix | undefined {
  const writes = rightSums(dump);
  if (writes.length === 0) return undefined;
  return {
    kind: 'edits',
    title: phrase('Right line sums and rewrite file sums that are not kept'),
    edits: editsOf(dump, writes),
  };
}
