import { backupCopy } from '../../actions/backup.js';
import { explainsWhole, whyNotNamed } from '../../actions/nameProfile.js';
import { listed, type Phrase, phrase } from '../../base/phrase.js';
import { notSealed, readBackup, unfitBackup } from '../../checks/backup.js';
import { sumsUnderstood } from '../../checks/sumsLeft.js';
import { passedRows } from '../../model/account.js';
import { headerValue, isSealed } from '../../model/headers.js';
import { whyBackupUnconfirmed } from '../../model/identity.js';
import { holdsRecords, whyNotWhole } from '../../model/whole.js';
import { timeInWords } from '../card/identity.js';
import { fileOfTotals, type UnconfirmedSum, unconfirmedSums } from '../confirmedSums.js';
import { severalDumps } from '../plan.js';
import { whyUndated, whyUnordered } from '../record/laterReading.js';
import { isLater, timeOf } from '../record/timeline.js';
import type { JobInput } from './input.js';
import { backupNameOf, type JobDump, type Module } from './module.js';
import { done, type Finding, open } from './step.js';

/** Whether there is one dump of the module, in a file, that says of which vehicle it is and when it was read. */
export function broughtIn(
  { dumps, current }: Module,
  { isSaved, isOutside }: Pick<JobInput, 'isSaved' | 'isOutside'>,
): Finding {
  const [own, ...more] = current;
  if (own === undefined) {
    const [sealed] = dumps;
    return open(
      phrase(
        'Only the sealed backup {0} is here, which is never changed. Read the module again and bring in what was read.',
        sealed?.name ?? '',
      ),
      sealed && { does: 'bringBack', file: sealed.file },
    );
  }
  const { dump, file, name, role, taken, loaded } = own;
  // Nothing is to be made of a dump that is half done, least of all a backup.
  const half = current.find(({ cutShort }) => cutShort !== undefined);
  if (half?.cutShort !== undefined) return open(half.cutShort, { does: 'settlePlan', file: half.file });
  if (more.length > 0) {
    const undated = current.find((one) => one.role !== 'work' && one.taken === undefined);
    return open(severalDumps(current), undated && { does: 'describe', file: undated.file });
  }
  if (isEmpty(own)) return open(nothingIn(own), { does: 'open', file });
  if (!isSaved(file) && isNew(file)) return open(notSaved(name), { does: 'save', file });
  const isNamed = (['vin', 'vehicle'] as const).some((header) => headerValue(dump, header) !== undefined);
  const isDated = role === 'work' || timeOf(own) !== undefined;
  if (!isDated && taken !== undefined) return open(whyUndated(own), { does: 'open', file });
  if (isNamed && isDated)
    // What is done to it later is saved by the step that did it.
    return isSaved(file) || loaded.profile.kind !== 'none'
      ? done(isOutside(file) ? outside(name) : phrase('{0}', name))
      : open(notSaved(name), { does: 'save', file });
  return open(
    isNamed
      ? phrase('{0} does not say when it was read.', name)
      : phrase('{0} does not say of which vehicle it is.', name),
    { does: 'describe', file },
  );
}

function outside(name: string): Phrase {
  return phrase('{0} is in no open folder: its job is here only while it or a file beside it is open.', name);
}

/** A file that is only in the editor so far. */
function isNew(file: string): boolean {
  return file.startsWith('untitled:');
}

/** Whether a file waits for what was read: it has no line but headers and notes. */
export function isEmpty({ dump }: JobDump): boolean {
  return dump.rows.every(({ kind }) => kind === 'blank' || kind === 'comment' || kind === 'header');
}

export function nothingIn({ name }: JobDump): Phrase {
  return phrase('Nothing is in {0} yet: paste what was read into it.', name);
}

export function notSaved(name: string): Phrase {
  return phrase('{0} is not saved yet.', name);
}

/** Whether the profile explains how all of the dump is summed; whether the sums are right is another matter. */
export function sumsKnown(
  { loaded, problems, name, file, fitting = [] }: JobDump,
  { isSaved, dumps }: Pick<JobInput, 'isSaved' | 'dumps'>,
): Finding {
  const { dump, profile, profileFile } = loaded;
  if (profile.kind === 'none' && fitting.length > 0)
    return open(phrase('{0} has no profile yet, but {1} explains all of it.', name, listed(fitting)), {
      does: 'nameProfile',
      file,
    });
  if (profile.kind === 'none')
    return open(
      phrase(
        '{0} has no profile yet. How it is written and summed can be worked out from the dump itself; of raw bytes it takes dumps of several cars.',
        name,
      ),
      {
        does: 'learn',
        file,
      },
    );
  const toProfile =
    profileFile === undefined ? undefined : ({ does: 'openProfile', file, other: profileFile } as const);
  if (profile.kind === 'unreadable') return open(profile.why, toProfile);
  const other = problems.find(({ code }) => code === 'profile-other-module');
  if (other !== undefined) return open(other.message, { does: 'showProblems', file });
  const [doubt] = sumsUnderstood(loaded);
  if (doubt !== undefined) return open(phrase('{0}: {1}', name, doubt), toProfile);
  if (!holdsRecords(dump)) {
    const [unread] = whyNotWhole(dump);
    return open(phrase('{0} was not read whole: {1}', name, unread?.why ?? ''), { does: 'showProblems', file });
  }
  const passed = linesPassed(dump, name);
  if (passed !== undefined) return open(passed, { does: 'showProblems', file });
  const called = dump.profile.title ?? profileNameOf(loaded);
  if (profileFile !== undefined && !isSaved(profileFile))
    return open(notSaved(profileNameOf(loaded)), { does: 'save', file: profileFile });
  if (!isSaved(file) && loaded.backup.kind === 'none') return open(notSaved(name), { does: 'save', file });
  const described = fileOfTotals(loaded);
  const files =
    described === undefined
      ? []
      : unconfirmedSums(
          dumps.map((one) => one.loaded),
          described,
        );
  const wantsMore = hasOpen(files) && files.every(({ waiting }) => waiting.length === 0);
  const similar = wantsMore ? unnamedLike(loaded, dumps) : undefined;
  const isReady = files.length > 0 && files.every(({ by }) => by.length > 0);
  return done(
    listed([phrase('Profile: {0}', called), ...guessedSums(dump.profile, files, similar)], '; '),
    isReady
      ? { does: 'confirmSums', file, other: described }
      : wantsMore
        ? { does: similar === undefined ? 'bringIn' : 'similar', file }
        : undefined,
  );
}

/** Whether dumps that are not here yet, or name no profile, would tell more of file sums. */
export function hasOpen(files: readonly UnconfirmedSum[]): boolean {
  return files.some(({ by }) => by.length === 0) && files.every(({ against }) => against.length === 0);
}

/** A dump that names no profile and is explained by that of another one: what it says of the sums does not count yet. */
function unnamedLike({ dump: { profile } }: JobDump['loaded'], dumps: readonly JobDump[]): string | undefined {
  const found = dumps.find((one) => isExplainedBy(one, profile));
  return found?.name;
}

/** Whether a dump that names no profile may name one, which explains all of it. */
export function isExplainedBy(
  { name, loaded: { dump, profile: own } }: JobDump,
  profile: JobDump['dump']['profile'],
): boolean {
  return own.kind === 'none' && whyNotNamed(dump, profile) === undefined && explainsWhole(profile, dump, name);
}

/** What keeps the sums from being understood where lines were taken for text: one of them may be a sum. */
function linesPassed(dump: JobDump['dump'], name: string): Phrase | undefined {
  const [first, ...more] = passedRows(dump);
  if (first === undefined) return undefined;
  return more.length === 0
    ? phrase('Row {0} of {1} was not read: mark it as a comment, or else a sum may be in it.', first + 1, name)
    : phrase(
        '{0} rows of {1} were not read: mark them as comments, or else a sum may be in them.',
        more.length + 1,
        name,
      );
}

/** Which sums of a profile are only a guess, and what the dumps at hand say of the file sums; nothing where none is. */
function guessedSums(
  { lineSum }: JobDump['dump']['profile'],
  files: readonly UnconfirmedSum[],
  similar: string | undefined,
): readonly Phrase[] {
  const against = files.find((one) => one.against.length > 0)?.against[0];
  const open = files.find(({ by }) => by.length === 0);
  const [first, second] = files[0]?.by ?? [];
  return [
    ...(lineSum?.confidence === 'guess' ? [phrase('line sums unconfirmed')] : []),
    ...(against !== undefined
      ? [phrase('file sum unconfirmed: it does not follow from the bytes of {0}', against)]
      : open !== undefined && similar !== undefined
        ? [phrase('file sum unconfirmed: {0} may confirm it, once it names this profile', similar)]
        : open !== undefined
          ? [
              open.waiting[0] === undefined
                ? phrase('file sum unconfirmed: a dump of another car, with another value, confirms it')
                : phrase(
                    'file sum unconfirmed: {0} may confirm it, once it is sealed or only for comparison',
                    open.waiting[0],
                  ),
            ]
          : first !== undefined && second !== undefined
            ? [phrase('the file sum was a guess, and {0} and {1} confirm it', first.name, second.name)]
            : []),
  ];
}

function profileNameOf({ dump }: JobDump['loaded']): string {
  return headerValue(dump, 'profile')?.split(/[\\/]/).at(-1) ?? '';
}

/**
 * Whether a sealed, sound backup of this module is at hand. In a dump in which nothing is done yet, the header that names
 * it may be all that is not saved.
 */
export function backupSealed(
  own: JobDump,
  { dumps }: Pick<Module, 'dumps'>,
  { isSaved }: Pick<JobInput, 'isSaved'>,
  isUntouched: boolean,
): Finding {
  const { loaded, file, name } = own;
  const { dump, backup, backupFile } = loaded;
  if (backup.kind === 'none') {
    const copy = backupCopy(loaded);
    if (!copy.ok) return open(copy.why, { does: 'showProblems', file });
    const sealed = dumps.filter(({ role }) => role === 'backup').at(-1);
    return sealed === undefined
      ? open(phrase('There is no sealed backup yet: it is the way back.'), { does: 'makeBackup', file })
      : namesNone(own, sealed);
  }
  const read = readBackup(backup);
  if (!read.ok) return open(read.why, { does: 'open', file });
  const there = { does: 'open', file: backupFile ?? file } as const;
  if (backupFile !== undefined && !isSaved(backupFile))
    return open(notSaved(backupNameOf(loaded)), { does: 'save', file: backupFile });
  const unfit = unfitBackup(dump, read.value)?.message ?? whyBackupUnconfirmed(dump, read.value);
  if (unfit !== undefined) return open(unfit, there);
  if (!isSealed(read.value)) return open(notSealed(backupNameOf(loaded)), there);
  if (!isSaved(file) && isUntouched) return open(notSaved(name), { does: 'save', file });
  return done(phrase('{0}', backupNameOf(loaded)));
}

/** Of a dump that names no backup where a sealed dump of its module is here: whether it was read before that, or later. */
function namesNone(own: JobDump, sealed: JobDump): Finding {
  const { name, file } = own;
  const makeBackup = { does: 'makeBackup', file } as const;
  const taken = ({ dump }: JobDump) => timeInWords(headerValue(dump, 'taken') ?? '');
  if (isLater(sealed, own))
    return open(
      phrase(
        '{0} is dated before the sealed backup. Its "@taken" is {1}, that of {2} is {3}: correct it if it is wrong; otherwise make a backup of this dump too.',
        name,
        taken(own),
        sealed.name,
        taken(sealed),
      ),
      { does: 'open', file },
      [makeBackup],
    );
  if (isLater(own, sealed))
    return open(
      phrase('{0} names no backup: make one. The sealed {1} was read before it.', name, sealed.name),
      makeBackup,
    );
  return open(
    phrase(
      '{0} names no backup. Nobody can tell whether {1} is one of it: {2}',
      name,
      sealed.name,
      whyUnordered(own, sealed),
    ),
    makeBackup,
    [{ does: 'open', file }],
  );
}
