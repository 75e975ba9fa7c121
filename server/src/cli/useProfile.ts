import { dirname, join, relative, resolve } from 'node:path';
import { explainsWhole, textNaming, whyNotNamed } from '../../../shared-core/src/actions/index.js';
import { type Phrase, phrase } from '../../../shared-core/src/base/index.js';
import type { LoadedDump } from '../../../shared-core/src/checks/index.js';
import { textOfRows } from '../../../shared-core/src/format/index.js';
import {
  confirmedInWords,
  confirmingWish,
  type UnconfirmedSum,
  unconfirmedSums,
  whyUnconfirmed,
} from '../../../shared-core/src/jobs/index.js';
import { changeProfile } from '../../../shared-core/src/learn/index.js';
import { bindWithHeaders, headerValue } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE, editedProfile } from '../../../shared-core/src/profile/index.js';
import { Failure } from '../files/failure.js';
import type { Rewrite } from '../files/save.js';
import { type Call, command, type Outcome } from './command.js';
import { encoded } from './encoded.js';
import { type Disk, uriOf } from './load.js';
import { flag } from './options.js';
import { say } from './say.js';

const OPTIONS = {
  write: flag(phrase('write "@profile" into these dumps')),
  confirm: flag(phrase('write into the profile that its file sum is no guess any more, where these dumps confirm it')),
};

/** Names a profile in all dumps that it explains, every line and every sum, and that name none yet. */
export const useProfile = command({
  name: 'use-profile',
  arguments: 'PROFILE FILE…',
  does: phrase('name a profile in all dumps that it explains as a whole; --write does it'),
  options: OPTIONS,
  places: ([, ...dumps]) => dumps,
  run: nameInAll,
});

async function nameInAll({ files, write, confirm, disk }: Call<typeof OPTIONS>): Promise<Outcome> {
  const [profileFile = '', ...places] = files;
  const reading = await disk.workspace.readProfile(uriOf(profileFile));
  if (!reading.ok) throw new Failure(phrase('{0} cannot be read: {1}', profileFile, reading.why));
  const { profile, chain } = reading.value;
  const named: Rewrite[] = [];
  const left: { readonly file: string; readonly why: Phrase }[] = [];
  const dumps = await disk.expand(places);
  for (const file of dumps) {
    const text = await disk.readText(file);
    const dump = bindWithHeaders(file, text, EMPTY_PROFILE);
    const why =
      whyNotNamed(dump, profile) ??
      (explainsWhole(profile, dump, file)
        ? whyRaw(disk, file)
        : phrase('the profile does not explain all of its lines and sums.'));
    const path = relative(dirname(resolve(file)), resolve(profileFile)).replaceAll('\\', '/');
    if (why !== undefined) left.push({ file, why });
    else
      named.push({
        file,
        before: textOfRows(dump.rows),
        text: textNaming(dump, path),
        bytesOf: (now) => encoded(disk, file, now).bytes,
      });
  }
  const doubt = await sumsInDoubt(disk, profileFile, dumps);
  const elsewhere = profile.totals.find(
    ({ confidence, source }) => confidence === 'guess' && source.file !== undefined,
  );
  const confirmed = await confirmedProfile(disk, profileFile, doubt);
  return {
    status: named.length === 0 && (!confirm || confirmed === undefined) ? 1 : 0,
    says: [
      ...named.map(({ file }) =>
        write ? phrase('{0} names {1} now', file, profileFile) : phrase('{0} may name {1}', file, profileFile),
      ),
      ...(confirm && confirmed !== undefined
        ? [phrase('{0} says now that its file sum is confirmed', profileFile)]
        : []),
    ],
    notes: [
      ...left.map(({ file, why }) => phrase('{0} stays as it is: {1}', file, why)),
      ...doubt.flatMap((sum) => sumInWords(sum, confirm)),
      ...(elsewhere === undefined
        ? []
        : [
            phrase(
              'The {0} is only a guess, described in {1}, which {2} extends. Give that profile to "use-profile" to confirm it.',
              elsewhere.name,
              chain?.bases.find(({ file }) => file === elsewhere.source.file)?.name ?? '',
              profileFile,
            ),
          ]),
    ],
    separate: [...(write ? named : []), ...(confirm && confirmed !== undefined ? [confirmed] : [])],
    json: {
      unconfirmed: doubt.map(({ name, by, against, waiting }) => ({ name, by, against, waiting })),
      named: named.map(({ file }) => file),
      left: left.map(({ file, why }) => ({ file, why: say(why) })),
    },
  };
}

/** The file sums of the profile that are only a guess, with what the dumps that may be by it show of them. */
async function sumsInDoubt(
  disk: Disk,
  profileFile: string,
  files: readonly string[],
): Promise<readonly UnconfirmedSum[]> {
  const loaded: LoadedDump[] = [];
  for (const file of files) {
    const named = headerValue(bindWithHeaders(file, await disk.readText(file), EMPTY_PROFILE), 'profile');
    const isOwn = named === undefined || disk.placeOf(join(dirname(file), named)) === disk.placeOf(profileFile);
    // A dump by a profile that extends this one shows as much of the sums that are described here.
    loaded.push(await disk.load(file, isOwn ? profileFile : undefined));
  }
  return unconfirmedSums(loaded, uriOf(profileFile));
}

/** The profile with the guess taken away; undefined where nothing confirms a sum. */
async function confirmedProfile(
  disk: Disk,
  profileFile: string,
  sums: readonly UnconfirmedSum[],
): Promise<Rewrite | undefined> {
  const wish = confirmingWish(sums);
  if (wish === undefined) return undefined;
  const before = await disk.readText(profileFile);
  const edits = changeProfile(before, wish);
  if (!edits.ok) throw new Failure(edits.why);
  return {
    file: profileFile,
    before,
    text: editedProfile(before, edits.value),
    bytesOf: (now) => encoded(disk, profileFile, now).bytes,
  };
}

function sumInWords(sum: UnconfirmedSum, confirm: boolean): readonly Phrase[] {
  const open = whyUnconfirmed(sum);
  if (open !== undefined) return [open];
  return [...confirmedInWords(sum), ...(confirm ? [] : [phrase('"--confirm" writes that into the profile.')])];
}

function whyRaw(disk: Disk, file: string): Phrase | undefined {
  return disk.codingOf(file)?.isBinary === true
    ? phrase('it holds raw bytes. Write "@profile" into the file of its headers.')
    : undefined;
}
