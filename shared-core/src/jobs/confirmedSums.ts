import { type Phrase, phrase } from '../base/phrase.js';
import { readBackup, sealProblems } from '../checks/backup.js';
import { checkDump } from '../checks/checkDump.js';
import type { LoadedDump } from '../checks/loadedDump.js';
import { byteOf } from '../format/row.js';
import type { ProfileWish } from '../learn/changeProfile.js';
import type { Dump } from '../model/dump.js';
import { headerValue, isSealed } from '../model/headers.js';
import { whyNotThisModule } from '../model/identity.js';
import { isReadBack } from '../model/readBack.js';
import { readTotal, sumAsWritten } from '../model/totalReading.js';
import type { BoundTotal } from '../model/totals.js';
import { isForComparison, isMasked, isOfAnotherModule } from '../model/useHeader.js';
import { otherVehicle } from '../model/vehicle.js';
import { whyNotWhole } from '../model/whole.js';
import type { Total } from '../profile/profile.js';
import { sumName } from '../profile/sumName.js';
import { isLaterReading } from './record/laterReading.js';

/** A file sum that is only a guess, and what the dumps at hand say of it. */
export interface UnconfirmedSum {
  readonly name: string;
  /** Where the profile describes it. */
  readonly at: Total['source'];
  /** Two dumps of two vehicles, as they were read, that have different values and follow it; none where there are no such two. */
  readonly by: readonly SumSeen[];
  /** Dumps that would be among these two if it were known that nobody has changed them since they were read. */
  readonly waiting: readonly string[];
  /** Dumps whose lines are all right and that do not follow it: then nothing confirms it. */
  readonly against: readonly string[];
}

interface SumSeen {
  readonly name: string;
  /** The stored value, in the order of its bytes. */
  readonly value: string;
}

/** Where the file sums of a dump's profile are described: in itself, or in one that it extends. */
export function fileOfTotals({ dump, profileFile }: LoadedDump): string | undefined {
  return dump.profile.totals[0]?.source.file ?? profileFile;
}

/**
 * The file sums that a profile describes and that are only a guess, with what the dumps by it and by those that extend it
 * show of them. What was written here shows nothing of them, since a guess was written with it. So those count of which it
 * is known that they are as they were read: sealed ones, and those for comparison, which are never written. Two readings of
 * one vehicle do not, as the later one may hold what was written; what does not follow a sum counts against it in any dump.
 */
export function unconfirmedSums(dumps: readonly LoadedDump[], profileFile: string): readonly UnconfirmedSum[] {
  const own = dumps.filter((one) => one.profile.kind === 'read' && fileOfTotals(one) === profileFile);
  const guessed = new Map<number, Total>();
  for (const { dump } of own) {
    if (dump.profile.flaw !== undefined) continue;
    for (const { total } of dump.totals) if (total.confidence === 'guess') guessed.set(total.source.start, total);
  }
  if (guessed.size === 0) return [];
  const read = asRead(own);
  return [...guessed.values()].map((total) => unconfirmedSum(total, read));
}

interface NamedDump {
  readonly name: string;
  readonly dump: Dump;
  /** Whether it is known that nobody has changed it since. */
  readonly isAsRead: boolean;
  /** Whether the check finds an error in it: then it speaks for nothing. */
  readonly isWrong: boolean;
}

/** The dumps as they were read from their modules, each once, without those of which a line is damaged or missing. */
function asRead(dumps: readonly LoadedDump[]): readonly NamedDump[] {
  const read = new Map<string, NamedDump>();
  for (const one of dumps) {
    // What was invented follows from the guess itself.
    if (isOfAnotherModule(one.dump) || isMasked(one.dump) || isReadBack(one)) continue;
    if (headerValue(one.dump, 'backup') === undefined) {
      const known = { ...one, problems: [], unchecked: [] };
      const isAsRead = isForComparison(one.dump) || isSoundlySealed(one.dump);
      if (!dumps.some((work) => isLaterReading(known, work)))
        read.set(one.file, { ...one, isAsRead, isWrong: isWrong(one) });
    } else if (one.backup.kind === 'read' && one.backupFile !== undefined) {
      const backup = readBackup(one.backup);
      const name = one.backupFile.split('/').at(-1) ?? one.backupFile;
      if (backup.ok && !isMasked(backup.value) && !read.has(one.backupFile))
        read.set(one.backupFile, {
          ...{ name, dump: backup.value, isAsRead: isSoundlySealed(backup.value) },
          isWrong: isWrong({ ...one, file: one.backupFile, name, dump: backup.value }),
        });
    }
  }
  return [...read.values()].filter(
    ({ dump }) =>
      dump.wrongSums.length === 0 &&
      dump.layout.unknown.length === 0 &&
      whyNotWhole(dump).length === 0 &&
      whyNotThisModule(dump) === undefined,
  );
}

function isWrong(one: LoadedDump): boolean {
  // Its backup and the other modules of its vehicle are dumps of their own.
  const alone = { ...one, backup: { kind: 'none' }, modules: () => [] } as const;
  return checkDump(alone).some(({ severity }) => severity === 'error');
}

/** Whether a sum runs over one byte alone, again and again: many rules give what is stored there. */
function isFiller({ rows, layout }: Dump, { run }: BoundTotal): boolean {
  const bytes = new Set<number>();
  run.each((row, from, count) => {
    const record = rows[row];
    // The sums of its lines follow from the data.
    const end = Math.min(from + count, layout.dataCount[row] ?? 0);
    for (let at = from; record?.kind === 'record' && at < end; at++) bytes.add(byteOf(record, at));
  });
  return bytes.size <= 1;
}

function isSoundlySealed(dump: Dump): boolean {
  return isSealed(dump) && sealProblems(dump).length === 0;
}

function unconfirmedSum(total: Total, read: readonly NamedDump[]): UnconfirmedSum {
  const seen = read.flatMap((one) => {
    const { dump } = one;
    const index = dump.totals.findIndex((one) => one.total.source.start === total.source.start);
    const reading = readTotal(dump, index);
    if (reading === undefined) return [];
    const { stored, computed, bound } = reading;
    const says = !one.isWrong && !isFiller(dump, bound);
    return { ...one, says, value: sumAsWritten(bound, stored), follows: stored === computed };
  });
  const against = seen.flatMap(({ name, follows }) => (follows ? [] : name));
  const saying = against.length > 0 ? [] : seen.filter(({ says }) => says);
  const by = twoApart(saying.filter(({ isAsRead }) => isAsRead));
  const waiting = by.length > 0 ? [] : twoApart(saying).filter(({ isAsRead }) => !isAsRead);
  return {
    ...{ name: total.name, at: total.source, against },
    by: by.map(({ name, value }) => ({ name, value })),
    waiting: waiting.map(({ name }) => name),
  };
}

/** The first two that have different values and are of two vehicles; none where there are no such two. */
function twoApart<T extends NamedDump & { readonly value: string }>(seen: readonly T[]): readonly T[] {
  const tellApart = (one: T, other: T) => one.value !== other.value && otherVehicle(one.dump, other.dump);
  const first = seen.find((one) => seen.some((other) => tellApart(one, other)));
  const second = first && seen.find((other) => tellApart(first, other));
  return first === undefined || second === undefined ? [] : [first, second];
}

/** What writes into the profile which of the sums are confirmed, and by what; undefined where none is. */
export function confirmingWish(sums: readonly UnconfirmedSum[]): ProfileWish | undefined {
  const confirmed = sums.flatMap(({ at, by }) => {
    const seen = by.map(({ name, value }) => `${name} (${value})`).join(' and ');
    return by.length === 0 ? [] : { at, note: `Follows from the bytes in ${seen}.` };
  });
  return confirmed.length === 0 ? undefined : { kind: 'confirm', sums: confirmed };
}

/** Why such a sum stays a guess, and what would confirm it; undefined where two dumps do. */
export function whyUnconfirmed({ name, by, against: [not], waiting: [open] }: UnconfirmedSum): Phrase | undefined {
  if (not !== undefined)
    return phrase('The {0} is only a guess: it does not follow from the bytes of {1}.', sumName({ name }), not);
  if (by.length > 0) return undefined;
  return open === undefined
    ? phrase('The {0} is only a guess: a dump of another car, with another value, confirms it.', sumName({ name }))
    : phrase(
        'The {0} is only a guess. {1} may confirm it once it is sealed or has "@use comparison": until then it may have been changed since it was read.',
        sumName({ name }),
        open,
      );
}

/** What the dumps at hand show of such a sum. */
export function confirmedInWords({ name, by: [first, second] }: UnconfirmedSum): readonly Phrase[] {
  if (first === undefined || second === undefined) return [];
  return [
    phrase(
      'The {0} was a guess. {1} ({2}) and {3} ({4}), as they were read, both follow it.',
      sumName({ name }),
      ...([first.name, first.value, second.name, second.value] as const),
    ),
  ];
}
