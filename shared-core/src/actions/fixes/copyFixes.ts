import { hexBytes } from '../../base/hex.js';
import { phrase } from '../../base/phrase.js';
import type { Result } from '../../base/result.js';
import type { Problem } from '../../checks/problem.js';
import { afterWrites, type ByteWrite, netWrites } from '../../model/byteWrite.js';
import { byteOfCopy, copiedFrom, copyDifferences } from '../../model/copies.js';
import { bytesSpan } from '../../model/spans.js';
import { wrongTotals } from '../../model/totalReading.js';
import { byteAt } from '../../model/totals.js';
import { sizeOf } from '../../profile/copiedPlaces.js';
import type { Copies } from '../../profile/profile.js';
import { withLineSums } from '../../repair/lineSums.js';
import { repairAll } from '../../repair/repairAll.js';
import { type Change, changeOf, type Subject } from '../change.js';
import { type ChangeFix, type Fix, ifPossible } from './fix.js';

/**
 * Ways to make copies the same again at a problem: by the bytes of the other copy, by those that are here, or all of them
 * by one of them. Only where most copies agree is one of these the way to take.
 */
export function copyFixes(subject: Subject, { row, start }: Problem): readonly Fix[] {
  const { dump } = subject;
  for (const copies of dump.profile.copies) {
    const all = copyDifferences(dump, copies);
    const found = all.find(({ cells: [first, ...more] }) => {
      const span = bytesSpan(dump, first.row, first.byte, more.length + 1);
      return span?.row === row && span.start === start;
    });
    if (found === undefined) continue;
    const { at, cells, right, from, copy, isMinority } = found;
    const here = cells.map((cell) => byteAt(dump.rows, cell) ?? 0);
    const there = byteOfCopy(copies, from, at, cells.length);
    const take = phrase('Take from the other copy: {0} to {1} ({2})', hexBytes(here), hexBytes(right), there);
    const give = phrase('Write these bytes into the other copies: {0}', hexBytes(here));
    const single: readonly ChangeFix[] = [
      fixBy(subject, take, copiedFrom(dump, copies, from, at, cells.length), isMinority),
      ...(isMinority ? [] : [fixBy(subject, give, copiedFrom(dump, copies, copy, at, cells.length), false)]),
    ].flat();
    if (all.length === 1) return single;
    // Where sums of the copies differ too, only all bytes together are right.
    return [...single.flatMap(ifPossible), ...wholeFixes(subject, copies)];
  }
  return [];
}

/** All bytes by one of the places, for each that is unlike those before it. */
function wholeFixes(subject: Subject, copies: Copies): readonly ChangeFix[] {
  const seen = new Set<string>();
  return [...copies.places.keys()].flatMap((from) => {
    const writes = copiedFrom(subject.dump, copies, from);
    const key = JSON.stringify(writes?.map(({ row, byte, value }) => [row, byte, value]));
    if (seen.has(key)) return [];
    seen.add(key);
    const title = phrase(
      'Take all of "{0}" from one copy: {1}',
      copies.name,
      byteOfCopy(copies, from, 0, sizeOf(copies)),
    );
    return fixBy(subject, title, writes, false);
  });
}

function fixBy(
  subject: Subject,
  title: ChangeFix['title'],
  writes: readonly ByteWrite[] | undefined,
  preferred: boolean,
): readonly ChangeFix[] {
  return writes === undefined ? [] : [{ kind: 'change', title, result: changeBy(subject, title, writes), preferred }];
}

/** The change with the sums of its lines, and with file sums where one would be wrong that was right. */
function changeBy(subject: Subject, title: ChangeFix['title'], copied: readonly ByteWrite[]): Result<Change> {
  const { dump } = subject;
  const writes = netWrites(dump, withLineSums(dump, copied));
  const now = afterWrites(dump, writes);
  const wasWrong = new Set(wrongTotals(dump));
  const isKept = wrongTotals(now).every((index) => wasWrong.has(index));
  const repair = isKept ? undefined : repairAll(now, { totals: 'keep', fixed: writes });
  if (repair?.ok === false) return repair;
  const all = [...writes, ...(repair?.value.writes ?? [])];
  return changeOf(subject, { writes: all }, title, {}, repair?.value);
}
