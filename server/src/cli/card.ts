import { basename, dirname, resolve } from 'node:path';
import {
  type CardModule,
  checkDump,
  jobCard,
  type NamedDump,
  phrase,
  whyNoCard,
} from '../../../shared-core/src/index.js';
import type { Call, Outcome } from './command.js';
import { Failure } from './failure.js';
import { writeWhole } from './files.js';
import { type Loaded, load, loadRetrofit } from './load.js';
import { type FindModules, otherModulesAmong } from './otherModules.js';
import { say } from './say.js';

/** The job card of one or several modules, from pairs of dumps: as found, and as planned. */
export function card({ files, profile, retrofit: retrofitFile, out }: Call): Outcome {
  if (files.length === 0 || files.length % 2 === 1)
    throw new Failure(phrase('Use: countersum card BEFORE AFTER, and so on for each module of the job'));
  const retrofit = retrofitFile === undefined ? undefined : loadRetrofit(retrofitFile);
  const folder = dirname(resolve(retrofitFile ?? '.'));
  const modulesOf = otherModulesAmong(files);
  const modules = Array.from({ length: files.length / 2 }, (_, i): CardModule => {
    const [before, after] = [load(files[2 * i] as string, profile), load(files[2 * i + 1] as string, profile)];
    const change = retrofit?.changes.find(({ profile: path }) => resolve(folder, path) === after.profilePath);
    return { before: named(before, modulesOf), after: named(after, modulesOf), change };
  });
  const refused = whyNoCard(modules);
  if (refused !== undefined) throw new Failure(refused);
  const { text, open, isWhole } = jobCard({ modules, retrofit, time: new Date().toISOString() }, (said) => say(said));
  if (out !== undefined) writeWhole(out, text);
  const matters = open.map((said) => say(said));
  return {
    status: isWhole ? (matters.length === 0 ? 0 : 1) : 2,
    text: out === undefined ? text : '',
    json: { ...(out === undefined && { text }), open: matters },
  };
}

/** A dump under its name, with all that is wrong with it. */
export function named(loaded: Loaded, modulesOf: FindModules): NamedDump {
  const { file, dump, profilePath } = loaded;
  const problems = checkDump({ ...loaded, modules: modulesOf(file, dump, profilePath) });
  return { name: basename(file), dump, problems };
}
