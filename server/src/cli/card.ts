import { basename, dirname, resolve } from 'node:path';
import {
  type CardModule,
  checkDump,
  jobCard,
  type NamedDump,
  phrase,
  whyNoCard,
} from '../../../shared-core/src/index.js';
import { type Call, command, type Outcome } from './command.js';
import { Failure } from './failure.js';
import { type Loaded, load, loadRetrofit } from './load.js';
import { OUT, PROFILE, text } from './options.js';
import { type FindModules, otherModulesAmong } from './otherModules.js';
import { howToUse } from './readCall.js';
import { say } from './say.js';

const OPTIONS = {
  retrofit: text('FILE', phrase('with the checks and the work around it')),
  ...PROFILE,
  ...OUT,
};

/** The job card of one or several modules, from pairs of dumps: as found, and as planned. */
export const card = command({
  name: 'card',
  arguments: 'BEFORE AFTER…',
  does: phrase('the job card as Markdown; a pair of dumps for each module'),
  options: OPTIONS,
  run: makeCard,
});

function makeCard({ files, profile, retrofit: retrofitFile, disk }: Call<typeof OPTIONS>): Outcome {
  if (files.length % 2 === 1) throw new Failure(howToUse(card));
  const retrofit = retrofitFile === undefined ? undefined : loadRetrofit(disk, retrofitFile);
  const folder = dirname(resolve(retrofitFile ?? '.'));
  const modulesOf = otherModulesAmong(disk, files);
  const modules = Array.from({ length: files.length / 2 }, (_, i): CardModule => {
    const [before, after] = [
      load(disk, files[2 * i] as string, profile),
      load(disk, files[2 * i + 1] as string, profile),
    ];
    const change = retrofit?.changes.find(({ profile: path }) => resolve(folder, path) === after.profilePath);
    return { before: named(before, modulesOf), after: named(after, modulesOf), change };
  });
  const refused = whyNoCard(modules);
  if (refused !== undefined) throw new Failure(refused);
  const { text: page, open } = jobCard({ modules, retrofit, time: new Date().toISOString() }, (said) => say(said));
  return {
    status: open.length === 0 ? 0 : 1,
    document: { content: page, inJson: true },
    json: { open: open.map((said) => say(said)) },
  };
}

/** A dump under its name, with all that is wrong with it. */
export function named(loaded: Loaded, modulesOf: FindModules): NamedDump {
  const { file, dump, profile, backup, profilePath } = loaded;
  const problems = checkDump(dump, profile, backup, modulesOf(file, dump, profilePath));
  return { name: basename(file), dump, problems };
}
