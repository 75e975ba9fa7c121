import { type Phrase, phrase } from '../base/phrase.js';
import { done, type Refused, type Result, refuse } from '../base/result.js';
import type { TextEdit } from '../base/span.js';
import { unfitBackup } from '../checks/backup.js';
import type { LoadedDump } from '../checks/loadedDump.js';
import { type SumsLeft, sumsLeft } from '../checks/sumsLeft.js';
import { compareDumps } from '../compare/compareDumps.js';
import { type ByteWrite, netWrites } from '../model/byteWrite.js';
import type { Dump } from '../model/dump.js';
import { changeDump, type Permit, type Wish, whyNotWritable } from '../model/gate.js';
import { readOption, shownValue } from '../model/optionReading.js';
import { cautionsInShort, cautionsOfChange } from '../options/cautions.js';
import { whyUnknown } from '../options/knownValue.js';
import type { Option } from '../profile/profile.js';
import type { Repaired } from '../repair/repaired.js';

/** What an action needs to know of a dump. */
export type Subject = Pick<LoadedDump, 'dump' | 'profile' | 'backup' | 'modules' | 'own' | 'dependents' | 'isReadBack'>;

/** What a person has accepted by name, and where the result goes. */
export interface Consent extends Pick<Permit, 'unconfirmed' | 'elsewhere' | 'puts'> {
  /** Ids of options whose condition may stay unmet. */
  readonly despite?: readonly string[] | undefined;
  /** These were typed, not chosen from what was asked: one that nothing asks for is a mistake, and refused. */
  readonly isTyped?: boolean;
}

/** A change that may be made: what every door shows, and the edits that it applies. */
export interface Change {
  readonly edits: readonly TextEdit[];
  readonly after: Dump;
  /** The bytes that get new values; none where whole lines are put in, replaced or taken out. */
  readonly writes: readonly ByteWrite[];
  /** What is done, in words. */
  readonly says: Phrase;
  /** What a person must know before it is written. */
  readonly cautions: readonly Phrase[];
  /** The cautions in a few words, for the title of what makes the change; undefined where there are none. */
  readonly inShort: Phrase | undefined;
  /** How it was balanced, and how sure it is that no other change does the same; undefined where nothing was. */
  readonly balanced: Repaired | undefined;
  /** What is wrong or cannot be told of the sums afterwards: nothing where all are right. */
  readonly sums: SumsLeft;
}

/** Puts a wish for a dump through the gate. Where it comes to what is `known` byte for byte, nothing in it is a guess. */
export function changeOf(
  subject: Subject,
  wish: Wish,
  says: Phrase,
  consent: Consent,
  repaired?: Repaired,
  known?: Dump,
): Result<Change> {
  const { dump, profile, backup, own } = subject;
  const { unconfirmed, elsewhere, puts } = consent;
  // Whether it is this dump's own, the gate judges.
  const named = backup.kind === 'read' ? backup.dump : undefined;
  const changed = changeDump(dump, wish, { backup: named, own, unconfirmed, elsewhere, puts });
  if (!changed.ok) return changed;
  const { edits, after, changesRecords } = changed.value;
  const why =
    (changesRecords ? (whyEvidence(subject, consent) ?? whyUnexplained(subject)) : undefined) ??
    whyBalanceSpoils(dump, after, repaired);
  if (why !== undefined) return refuse(why);
  const writes = netWrites(dump, wish.writes ?? []);
  const isSound = named?.sealHolds === true && unfitBackup(dump, named) === undefined;
  const told = {
    writes,
    guesses: known === undefined || !compareDumps(known, after).identical,
    backup: isSound ? named : undefined,
  };
  const balances = writes.some(({ reason }) => reason === 'balance');
  return done({
    ...{ edits, after, writes, says },
    inShort: cautionsInShort(dump, after, repaired?.alsoChanged ?? [], told),
    cautions: [...cautionsOfChange(dump, after, told), ...alsoChangedInWords(dump, after, repaired)],
    balanced: balances ? repaired : undefined,
    sums: sumsLeft({ dump: after, profile }),
  });
}

/** Why an option that balancing changes would hold what the profile does not know or allow. */
function whyBalanceSpoils(before: Dump, after: Dump, repaired: Repaired | undefined): Phrase | undefined {
  for (const option of repaired?.alsoChanged ?? []) {
    const [was, is] = [readOption(before, option), readOption(after, option)];
    const why = is && whyUnknown(option, is.raw, was?.raw);
    if (why !== undefined)
      return phrase('Balancing would change {0} too. {1} Balance with another line.', option.title, why);
  }
  return undefined;
}

/** Options that nobody asked to change and that balancing changes: a person is to know before it is written. */
function alsoChangedInWords(before: Dump, after: Dump, repaired: Repaired | undefined): readonly Phrase[] {
  const wordsIn = (dump: Dump, option: Option) => {
    const reading = readOption(dump, option);
    return reading === undefined ? '?' : shownValue(option, reading.raw);
  };
  return (repaired?.alsoChanged ?? []).map((option) =>
    phrase('Balancing also changes {0}: {1} → {2}.', option.title, wordsIn(before, option), wordsIn(after, option)),
  );
}

/** Why no action may change this dump, whatever it would do; also where there would be nothing to change. */
export function whyNoChange(subject: Subject, consent: Consent): Refused | undefined {
  const { unconfirmed, elsewhere } = consent;
  const why = whyEvidence(subject, consent) ?? whyUnexplained(subject);
  return why === undefined ? whyNotWritable(subject.dump, { unconfirmed, elsewhere }) : refuse(why);
}

/** Why a dump stays as it was read: changed, it would prove what was never written. */
export function whyEvidence(
  { isReadBack }: Pick<Subject, 'isReadBack'>,
  { elsewhere }: Pick<Consent, 'elsewhere'> = {},
): Phrase | undefined {
  if (isReadBack !== true || elsewhere === true) return undefined;
  return phrase('This was read back from the module and stays as it is. Change the dump in work.');
}

/** Why the bytes of a dump mean nothing here: nothing is written then, but for the sums that image records have anyway. */
function whyUnexplained({ dump, profile }: Pick<Subject, 'dump' | 'profile'>): Phrase | undefined {
  if (profile.kind === 'unreadable') return profile.why;
  if (profile.kind === 'none' && dump.layout.kind !== 'image')
    return phrase('No profile explains this dump, so nothing can be changed in it. Name one with "@profile".');
  return undefined;
}
