import { listed, type Phrase, phrase, sentences } from '../../base/phrase.js';
import { compareDumps, differs } from '../../compare/compareDumps.js';
import type { Dump } from '../../model/dump.js';
import { headerValue } from '../../model/headers.js';
import { isReadBadly, whyReadAgain } from '../card/cautions.js';
import { timeInWords } from '../card/identity.js';
import type { NamedDump } from '../card/input.js';
import { type Written, writtenOf } from '../record/changes.js';
import { whyByRow, whyToCome, whyUndated, whyUnordered } from '../record/laterReading.js';
import { isLater, isTakenLater, type Recording, timeOf } from '../record/timeline.js';
import { verifyReadBack } from '../verify/verify.js';
import { isEmpty, nothingIn, notSaved } from './asFound.js';
import type { JobInput } from './input.js';
import type { JobDump, Module, Proof } from './module.js';
import { done, type Finding, open, type StepAction } from './step.js';
import { isHeldLast } from './work.js';

export function proofOf(
  own: JobDump & Recording,
  { dumps, strays }: Module,
  { isSaved }: Pick<JobInput, 'isSaved'>,
): Proof {
  const unsaved = dumps.filter((one) => one.role === 'reading' && one.file !== own.file && !isSaved(one.file));
  const written = writtenOf(
    own,
    dumps.filter((one) => !unsaved.includes(one)),
    strays,
  );
  const reading = dumps.find(({ dump }) => dump === written?.reading?.dump);
  const outdating = [reading, own.since].flatMap((one) => one ?? []);
  return {
    written,
    reading,
    unsaved: unsaved.find((one) => !outdating.some((later) => isLater(later, one))),
    stray: strays.find(({ dump }) => dump === written?.stray?.dump),
    back: dumps.find(({ dump }) => dump === written?.back?.dump),
  };
}

const WRITE_AND_READ = phrase('Write the module as the card says. Then read it again and bring in what was read.');

/** Whether what was read after the backup is here. */
export function readBack(
  own: JobDump & Recording,
  { dumps }: Module,
  { reading, written, back, unsaved }: Proof,
): Finding {
  const bringIn: StepAction = { does: 'bringBack', file: own.file };
  const { since } = own;
  const begun = dumps.find((one) => one.role === 'unread' && one.file !== own.file);
  if (begun !== undefined && isEmpty(begun)) return open(nothingIn(begun), { does: 'open', file: begun.file });
  if (unsaved !== undefined) return toSave(unsaved);
  if (reading === undefined) {
    const toCome = dumps.find((one) => one.role === 'reading' && one.isToCome);
    if (toCome !== undefined) return open(whyToCome(toCome), { does: 'open', file: toCome.file });
    const isRead = dumps.some((one) => one.role === 'reading' && one.file !== own.file);
    // Nothing that is read later can be told from a backup without its time.
    if (isRead && own.since !== undefined && timeOf(own.since) === undefined)
      return open(whyUndated(own.since), { does: 'open', file: own.loaded.backupFile ?? own.file });
    const other = dumps.find((one) => one.role === 'reading' && since !== undefined && isNotAfter(one, since));
    if (other === undefined || since === undefined) return open(WRITE_AND_READ, bringIn);
    return open(whyNotAfter(other, since), bringIn, [{ does: 'open', file: other.file }]);
  }
  const says = (first: Phrase) => withOthers(first, reading, since, dumps);
  if (back !== undefined && isHeldLast(written))
    return open(says(isReadBadly(back.dump) ? whyReadAgain(back) : WRITE_AND_READ), bringIn);
  if (isOlder(own, reading, written))
    return open(
      says(
        phrase(
          '{0} holds the bytes of the backup, as before this work. Write the module as the card says. Then read it again and bring in what was read.',
          reading.name,
        ),
      ),
      bringIn,
    );
  const read = listed([reading.name, ...(reading.taken === undefined ? [] : [timeInWords(reading.taken)])]);
  return done(says(read), bringIn);
}

/** With those that do not count beside the latest reading: whoever has brought in one of them looks for it here. */
function withOthers(first: Phrase, reading: JobDump, since: NamedDump | undefined, dumps: Module['dumps']): Phrase {
  const others = dumps.filter((one) => one.role === 'reading' && one.file !== reading.file);
  if (since === undefined) return first;
  const stale = others.filter((one) => isTakenLater(one, since)).flatMap((one) => whyByRow(one, since) ?? []);
  const older = others.filter((one) => isLater(one, since) && isLater(reading, one)).map(({ name }) => name);
  const said = older.length === 0 ? [] : [phrase('Older than {0}: {1}.', reading.name, listed(older))];
  return stale.length + said.length === 0 ? first : sentences([first, ...said, ...stale]);
}

export function toSave({ name, file }: JobDump): Finding {
  return open(notSaved(name), { does: 'save', file });
}

/** Whether a dump holds other bytes than the backup or is dated after it, and yet is not later by what it says itself. */
function isNotAfter(one: JobDump, backup: NamedDump): boolean {
  if (isLater(one, backup)) return false;
  return isTakenLater(one, backup) || differs(compareDumps(backup.dump, one.dump));
}

function whyNotAfter(one: JobDump, backup: NamedDump): Phrase {
  const { name, dump } = one;
  const row = whyByRow(one, backup);
  if (row !== undefined) return row;
  if (!isLater(backup, one)) return phrase('{0} does not count as read back: {1}', name, whyUnordered(one, backup));
  const taken = (of: Dump) => timeInWords(headerValue(of, 'taken') ?? '');
  return phrase(
    '{0} does not count as read back: it was read at {1} by its "@taken", before the backup ({2}). Correct that time if it is wrong; otherwise write the module, read it again and bring in what was read.',
    name,
    taken(dump),
    taken(backup.dump),
  );
}

/** Whether the latest reading holds what the module held before the work, so that it tells nothing of what was planned. */
function isOlder({ dump, loaded: { backup } }: JobDump, reading: JobDump, written: Written | undefined): boolean {
  return (
    backup.kind === 'read' &&
    written?.isOpen === true &&
    differs(compareDumps(backup.dump, dump)) &&
    verifyReadBack(backup.dump, reading.dump, undefined).matches
  );
}
