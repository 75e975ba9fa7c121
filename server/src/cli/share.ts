import { type Phrase, phrase } from '../../../shared-core/src/base/index.js';
import {
  type SharedCopy,
  sealInWords,
  shareDumps,
  sharedInWords,
  type ToShare,
} from '../../../shared-core/src/jobs/index.js';
import { profilesToShare } from '../../../shared-core/src/workspace/index.js';
import { Failure } from '../files/failure.js';
import { type Call, command, type Outcome } from './command.js';
import { encoded } from './encoded.js';
import { must, pathOf, STDIN } from './load.js';
import { FROM, list, PROFILE, text } from './options.js';
import { say } from './say.js';

const OPTIONS = {
  out: text('DIR', phrase('the folder that gets the copies: a new one, or one that is empty')),
  hide: list('TEXT', phrase('mask this too, such as a VIN that no dump says, or a name; repeat for each')),
  ...FROM,
  ...PROFILE,
};

/** Copies for others, in which VIN, serial numbers and personal places are masked and every sum is kept right. */
export const share = command({
  name: 'share',
  arguments: 'FILE…',
  does: phrase('copies for others, with the VIN, serial numbers and what else is personal masked, all sums kept right'),
  options: OPTIONS,
  run: shareFiles,
});

async function shareFiles({ files, out, hide, profile, disk }: Call<typeof OPTIONS>): Promise<Outcome> {
  if (out === undefined) throw new Failure(phrase('"--out" is missing. Say which folder gets the copies: --out DIR.'));
  if (files.includes(STDIN)) throw new Failure(phrase('Standard input has no name for a copy. Name files.'));
  const names = await disk.expand(files);
  const sources: ToShare[] = [];
  for (const name of names) sources.push(await disk.load(name, profile));
  const shared = must(shareDumps(sources, must(await profilesToShare(sources, disk.workspace.readText)), hide));
  return {
    // What was not found may be there in a way that nobody looks for.
    status: shared.notFound.length === 0 ? 0 : 1,
    says: sharedInWords(shared),
    folder: [
      ...shared.dumps.map(({ name, text: now, headers }, at) => {
        const { bytes, headers: own } = encoded(disk, names[at] ?? '', now);
        return { name, bytes, headers: own + headers };
      }),
      ...shared.profiles.map(({ name, text: now }) => ({ name, bytes: Buffer.from(now), headers: '' })),
    ],
    json: {
      files: [...shared.dumps, ...shared.profiles].map(copyToJson),
      notes: shared.notes.map((note) => say(note)),
    },
  };
}

function copyToJson({ file, name, masked, left, says, seal }: SharedCopy): object {
  const inWords = (all: readonly Phrase[]) => all.map((one) => say(one));
  return {
    file: pathOf(file),
    copy: name,
    masked: inWords(masked),
    left: inWords(left),
    says: inWords(says),
    ...(seal !== undefined && { seal, sealInWords: say(sealInWords(seal)) }),
  };
}
