import { dirname, relative, resolve } from 'node:path';
import {
  bindWithHeaders,
  EMPTY_PROFILE,
  explainsWhole,
  type Phrase,
  phrase,
  textNaming,
  textOfRows,
  whyNotNamed,
} from '../../../shared-core/src/index.js';
import { Failure } from '../files/failure.js';
import type { Rewrite } from '../files/save.js';
import { type Call, command, type Outcome } from './command.js';
import { encoded } from './encoded.js';
import { type Disk, uriOf } from './load.js';
import { flag } from './options.js';
import { say } from './say.js';

const OPTIONS = { write: flag(phrase('write "@profile" into these dumps')) };

/** Names a profile in all dumps that it explains, every line and every sum, and that name none yet. */
export const useProfile = command({
  name: 'use-profile',
  arguments: 'PROFILE FILE…',
  does: phrase('name a profile in all dumps that it explains as a whole; --write does it'),
  options: OPTIONS,
  places: ([, ...dumps]) => dumps,
  run: nameInAll,
});

async function nameInAll({ files, write, disk }: Call<typeof OPTIONS>): Promise<Outcome> {
  const [profileFile = '', ...places] = files;
  const reading = await disk.workspace.readProfile(uriOf(profileFile));
  if (!reading.ok) throw new Failure(phrase('{0} cannot be read: {1}', profileFile, reading.why));
  const { profile } = reading.value;
  const named: Rewrite[] = [];
  const left: { readonly file: string; readonly why: Phrase }[] = [];
  for (const file of await disk.expand(places)) {
    const text = await disk.readText(file);
    const dump = bindWithHeaders(file, text, EMPTY_PROFILE);
    const why =
      whyRaw(disk, file) ??
      whyNotNamed(dump, profile) ??
      (explainsWhole(profile, dump, file)
        ? undefined
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
  return {
    status: named.length === 0 ? 1 : 0,
    says: named.map(({ file }) =>
      write ? phrase('{0} names {1} now', file, profileFile) : phrase('{0} may name {1}', file, profileFile),
    ),
    notes: left.map(({ file, why }) => phrase('{0} stays as it is: {1}', file, why)),
    ...(write && { separate: named }),
    json: { named: named.map(({ file }) => file), left: left.map(({ file, why }) => ({ file, why: say(why) })) },
  };
}

function whyRaw(disk: Disk, file: string): Phrase | undefined {
  return disk.codingOf(file)?.isBinary === true
    ? phrase('it holds raw bytes. Write "@profile" into the file of its headers.')
    : undefined;
}
