import { type Phrase, phrase } from '../base/phrase.js';
import { readBackup } from '../checks/backup.js';
import type { LoadedDump } from '../checks/loadedDump.js';
import { sameVehicle } from '../checks/otherModules.js';
import type { ProfileWish } from '../learn/changeProfile.js';
import type { Dump } from '../model/dump.js';
import { headerValue } from '../model/headers.js';
import { whyNotThisModule } from '../model/identity.js';
import { isReadBack } from '../model/readBack.js';
import { readTotal, sumAsWritten } from '../model/totalReading.js';
import { isOfAnotherModule } from '../model/useHeader.js';
import { whyNotWhole } from '../model/whole.js';
import type { Total } from '../profile/profile.js';
import { isLaterReading } from './record/laterReading.js';
import { isLater } from './record/timeline.js';

/** A file sum that is only a guess, and what the dumps at hand say of it. */
export interface UnconfirmedSum {
  readonly name: string;
  /** Where the profile describes it. */
  readonly at: Total['source'];
  /** Two dumps as they were read that have different values and follow it; none where there are no such two. */
  readonly by: readonly SumSeen[];
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
 * show of them. What was written here shows nothing of them, since a guess was written
 * with it: of a dump in work its backup counts, and what was read back does not count.
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
}

/** The dumps as they were read from their modules, each once, without those of which a line is damaged or missing. */
function asRead(dumps: readonly LoadedDump[]): readonly NamedDump[] {
  const read = new Map<string, NamedDump>();
  for (const one of dumps) {
    if (isOfAnotherModule(one.dump) || isReadBack(one)) continue;
    if (headerValue(one.dump, 'backup') === undefined) {
      const known = { ...one, problems: [], unchecked: [] };
      if (!dumps.some((work) => isLaterReading(known, work))) read.set(one.file, one);
    } else if (one.backup.kind === 'read' && one.backupFile !== undefined) {
      const backup = readBackup(one.backup);
      const name = one.backupFile.split('/').at(-1) ?? one.backupFile;
      if (backup.ok && !read.has(one.backupFile)) read.set(one.backupFile, { name, dump: backup.value });
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

function unconfirmedSum(total: Total, read: readonly NamedDump[]): UnconfirmedSum {
  const seen = read.flatMap(({ name, dump }) => {
    const index = dump.totals.findIndex((one) => one.total.source.start === total.source.start);
    const reading = readTotal(dump, index);
    if (reading === undefined) return [];
    const { stored, computed, bound } = reading;
    return { name, dump, value: sumAsWritten(bound, stored), follows: stored === computed };
  });
  const against = seen.flatMap(({ name, follows }) => (follows ? [] : name));
  const first = seen.find((one) => seen.some((other) => tellApart(one, other)));
  const second = first && seen.find((other) => tellApart(first, other));
  const isConfirmed = against.length === 0 && first !== undefined && second !== undefined;
  const by = isConfirmed ? [first, second].map(({ name, value }) => ({ name, value })) : [];
  return { name: total.name, at: total.source, by, against };
}

/** What writes into the profile which of the sums are confirmed, and by what; undefined where none is. */
export function confirmingWish(sums: readonly UnconfirmedSum[]): ProfileWish | undefined {
  const confirmed = sums.flatMap(({ at, by }) => {
    const seen = by.map(({ name, value }) => `${name} (${value})`).join(' and ');
    return by.length === 0 ? [] : { at, note: `Follows from the bytes in ${seen}.` };
  });
  return confirmed.length === 0 ? undefined : { kind: 'confirm', sums: confirmed };
}

/** What the dumps at hand show of such a sum. */
export function confirmedInWords({ name, by: [first, second] }: UnconfirmedSum): readonly Phrase[] {
  if (first === undefined || second === undefined) return [];
  return [
    phrase(
      'The {0} was a guess. {1} ({2}) and {3} ({4}), as they were read, both follow it.',
      name,
      ...([first.name, first.value, second.name, second.value] as const),
    ),
  ];
}

/** Whether two dumps have different values and are no two texts of one reading, of which one may have been changed. */
function tellApart(one: NamedDump & { readonly value: string }, other: typeof one): boolean {
  if (one.value === other.value) return false;
  return !sameVehicle(one.dump, other.dump) || isLater(one, other) || isLater(other, one);
}
