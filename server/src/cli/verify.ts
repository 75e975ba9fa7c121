import { done, listed, type Phrase, phrase } from '../../../shared-core/src/base/index.js';
import type { LoadedDump } from '../../../shared-core/src/checks/index.js';
import {
  asReading,
  isVerified,
  type ReadBack,
  seenInCar,
  verificationInWords,
} from '../../../shared-core/src/jobs/index.js';
import { changeProfile } from '../../../shared-core/src/learn/index.js';
import { withRecords } from '../../../shared-core/src/model/index.js';
import { editedProfile } from '../../../shared-core/src/profile/index.js';
import { verifyInFolder } from '../../../shared-core/src/workspace/index.js';
import { Failure } from '../files/failure.js';
import type { Rewrite } from '../files/save.js';
import { type Call, command, type Outcome } from './command.js';
import { lineToJson, unreadToJson } from './compare.js';
import { encoded } from './encoded.js';
import { type Disk, loadPair, must, pathOf } from './load.js';
import { PROFILE, text } from './options.js';
import { say } from './say.js';

const OPTIONS = {
  seen: text(
    'NAME',
    phrase(
      'note in the profile that the options which were set are "set-and-tried", by NAME; nothing where they are not',
    ),
  ),
  ...PROFILE,
};

/** Whether what was read back from a module is what was planned, volatile places aside. */
export const verify = command({
  name: 'verify',
  arguments: 'PLANNED READBACK',
  does: phrase('is what was read back what was planned; the likely cause of each difference'),
  options: OPTIONS,
  run: verifyFiles,
});

async function verifyFiles({ files, profile, seen, disk }: Call<typeof OPTIONS>): Promise<Outcome> {
  const [first = '', second = ''] = files;
  if (disk.placeOf(first) === disk.placeOf(second))
    throw new Failure(phrase('{0} and {1} are the same file: name what was read back from the module.', first, second));
  const [planned, other] = await loadPair(disk, files, profile, 'causes');
  must(withRecords(planned.name, done(planned.dump)));
  const read = { ...other, dump: must(asReading(other.name, done(other.dump), planned.dump.profile)) };
  const verification = await verifyInFolder(disk.workspace, planned, read, new Date().toISOString());
  const { matches, foreign, doubt, lines, unmatched, ignored, comparison, isProof, caveats } = verification;
  const status = !isProof ? 2 : isVerified(verification) ? 0 : 1;
  const noted = seen === undefined ? undefined : await noteSeen(disk, planned, { ...read, verification }, seen);
  return {
    // What was wanted and could not be written is no success.
    status: status === 0 && noted?.isRefused === true ? 2 : status,
    says: verificationInWords(verification),
    ...(noted !== undefined && { notes: noted.notes, separate: noted.rewrites }),
    json: {
      match: matches,
      unread: unreadToJson(comparison),
      differences: lines.map(({ line, cause }) => ({ ...lineToJson(line), cause: say(cause) })),
      ignored: ignored.map(lineToJson),
      unmatched: unmatched.map((said) => say(said)),
      caveats: caveats.map((said) => say(said)),
      foreign: foreign === undefined ? null : say(foreign),
      doubt: doubt === undefined ? null : say(doubt),
      ...(noted !== undefined && { seen: noted.options }),
    },
  };
}

interface Noted {
  readonly isRefused: boolean;
  readonly notes: readonly Phrase[];
  readonly rewrites: readonly Rewrite[];
  readonly options: readonly string[];
}

/** The profiles in which it is noted where the options were seen that the work has set. */
async function noteSeen(disk: Disk, planned: LoadedDump, read: ReadBack, by: string): Promise<Noted> {
  const refused = (why: Phrase): Noted => ({
    isRefused: true,
    notes: [phrase('Nothing was written into the profile: {0}', why)],
    rewrites: [],
    options: [],
  });
  const { profileFile } = planned;
  if (profileFile === undefined) return refused(phrase('The dump names none.'));
  const text = await disk.readText(pathOf(profileFile));
  const bases = await disk.workspace.basesOf(profileFile, text);
  const found = seenInCar(planned, read, { file: profileFile, text, bases }, { by, now: new Date().toISOString() });
  if (!found.ok) return refused(found.why);
  const rewrites: Rewrite[] = [];
  for (const { file, wish } of found.value) {
    const path = pathOf(file);
    const before = await disk.readText(path);
    const edits = changeProfile(before, wish, await disk.workspace.basesOf(file, before));
    if (!edits.ok) return refused(edits.why);
    const bytesOf = (now: string) => encoded(disk, path, now).bytes;
    rewrites.push({ file: path, before, text: editedProfile(before, edits.value), bytesOf });
  }
  const notes = found.value.map(({ file, titles }) =>
    phrase('Noted in {0} as set and tried: {1}', pathOf(file), listed(titles)),
  );
  return {
    isRefused: false,
    notes: notes.length > 0 ? notes : [phrase('There is nothing new to be written into the profile.')],
    rewrites,
    options: found.value.flatMap(({ wish }) => wish.seen.map(({ id }) => id)),
  };
}
