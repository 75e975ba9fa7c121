import { hexBytes } from '../../base/hex.js';
import { phrase } from '../../base/phrase.js';
import { done, type Result } from '../../base/result.js';
import type { Steps } from '../../base/steps.js';
import type { Problem } from '../../checks/problem.js';
import { afterWrites, type ByteWrite, netWrites } from '../../model/byteWrite.js';
import { byteOfCopy, copiedFrom, copyDifferences } from '../../model/copies.js';
import { bytesSpan } from '../../model/spans.js';
import { wrongTotals } from '../../model/totalReading.js';
import { byteAt } from '../../model/totals.js';
import { sizeOf } from '../../profile/copiedPlaces.js';
import type { Copies } from '../../profile/profile.js';
import { withLineSums } from '../../repair/lineSums.js';
import { repairAllInSteps } from '../../repair/repairAll.js';
import { type Change, changeOf, type Subject } from '../change.js';
import { brokenBy } from '../conditions.js';
import { type ChangeFix, type Fix, ifPossible } from './fix.js';

/**
 * Ways to make copies the same again at a problem: by the bytes of the other copy, by those that are here, or all of them
 * by one of them. Only where most copies agree is one of these the way to take.
 */
export function* copyFixes(subject: Subject, { row, start }: Problem): Steps<readonly Fix[]> {
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
    const there = byteOfCopy(dump, copies, from, at, cells.length);
    const take = phrase('Take from the other copy: {0} to {1} ({2})', hexBytes(here), hexBytes(right), there);
    const give = phrase('Write these bytes into the other copies: {0}', hexBytes(here));
    const single: readonly ChangeFix[] = [
      ...(yield* fixBy(subject, take, copiedFrom(dump, copies, from, at, cells.length), isMinority)),
      ...(isMinority ? [] : yield* fixBy(subject, give, copiedFrom(dump, copies, copy, at, cells.length), false)),
    ];
    if (all.length === 1) return single;
    // Where sums of the copies differ too, only all bytes together are right.
    return [...single.flatMap(ifPossible), ...(yield* wholeFixes(subject, copies))];
  }
  return [];
}

/** All bytes by one of the places, for each that is unlike those before it. */
function* wholeFixes(subject: Subject, copies: Copies): Steps<readonly ChangeFix[]> {
  const seen = new Set<string>();
  const fixes: ChangeFix[] = [];
  for (const from of copies.places.keys()) {
    const writes = copiedFrom(subject.dump, copies, from);
    const key = JSON.stringify(writes);
    if (seen.has(key)) continue;
    seen.add(key);
    const title = phrase(
      'Take all of "{0}" from one copy: {1}',
      copies.name,
      byteOfCopy(subject.dump, copies, from, 0, sizeOf(copies)),
    );
    fixes.push(...(yield* fixBy(subject, title, writes, false)));
  }
  return fixes;
}

function* fixBy(
  subject: Subject,
  title: ChangeFix['title'],
  writes: readonly ByteWrite[] | undefined,
  preferred: boolean,
): Steps<readonly ChangeFix[]> {
  return writes === undefined
    ? []
    : [{ kind: 'change', title, result: yield* changeBy(subject, title, writes), preferred }];
}

/** The change with the sums of its lines, and with file sums where one would be wrong that was right. */
function* changeBy(subject: Subject, title: ChangeFix['title'], copied: readonly ByteWrite[]): Steps<Result<Change>> {
  const { dump } = subject;
  const writes = netWrites(dump, withLineSums(dump, copied));
  const now = afterWrites(dump, writes);
  const wasWrong = new Set(wrongTotals(dump));
  const isKept = wrongTotals(now).every((index) => wasWrong.has(index));
  const repair = isKept ? undefined : yield* repairAllInSteps(now, { totals: 'keep', fixed: writes });
  if (repair?.ok === false) return repair;
  const all = [...writes, ...(repair?.value.writes ?? [])];
  const change = changeOf(subject, { writes: all }, title, {}, repair?.value);
  if (!change.ok) return change;
  // Copies that agree again hold what they held before, and what that breaks is said.
  const broken = brokenBy(subject, change.value.after).map(({ why }) => why);
  return done({ ...change.value, cautions: [...change.value.cautions, ...broken] });
}
