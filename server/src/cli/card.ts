import { basename } from 'node:path';
import {
  type CardModule,
  checkDump,
  jobCard,
  type LoadedDump,
  type NamedDump,
  phrase,
  resolveUri,
  whyNoCard,
} from '../../../shared-core/src/index.js';
import type { Call, Outcome } from './command.js';
import { Failure } from './failure.js';
import { writeWhole } from './files.js';
import { loadRetrofit, openFiles, uriOf } from './load.js';
import { say } from './say.js';

/** The job card of one or several modules, from pairs of dumps: as found, and as planned. */
export async function card({ files: names, profile, retrofit: retrofitFile, out }: Call): Promise<Outcome> {
  if (names.length === 0 || names.length % 2 === 1)
    throw new Failure(phrase('Use: countersum card BEFORE AFTER, and so on for each module of the job'));
  const files = openFiles(names);
  const retrofit = retrofitFile === undefined ? undefined : await loadRetrofit(files, retrofitFile);
  const modules: CardModule[] = [];
  for (let i = 0; i < names.length; i += 2) {
    const before = await files.load(names[i] as string, profile);
    const after = await files.load(names[i + 1] as string, profile);
    const change = retrofit?.changes.find(
      ({ profile: path }) => resolveUri(uriOf(retrofitFile ?? ''), path) === after.profileFile,
    );
    modules.push({ before: named(before), after: named(after), change });
  }
  const refused = whyNoCard(modules);
  if (refused !== undefined) throw new Failure(refused);
  const { text, open } = jobCard({ modules, retrofit, time: new Date().toISOString() }, (said) => say(said));
  if (out !== undefined) writeWhole(out, text);
  const matters = open.map((said) => say(said));
  return {
    status: matters.length === 0 ? 0 : 1,
    text: out === undefined ? text : '',
    json: { ...(out === undefined && { text }), open: matters },
  };
}

/** A dump under its name, with all that is wrong with it. */
export function named(loaded: LoadedDump): NamedDump {
  return { name: basename(loaded.name), dump: loaded.dump, problems: checkDump(loaded) };
}
