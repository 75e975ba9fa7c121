// Made-up folders of a job, and the steps that are told of them.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { finish, type Phrase, phrase, say } from '../../shared-core/src/base/index.js';
import type { Say } from '../../shared-core/src/jobs/card/input.js';
import {
  type JobDump,
  type JobInput,
  jobCard,
  jobDump,
  jobSteps,
  savedCard,
} from '../../shared-core/src/jobs/index.js';
import type { VehicleJob } from '../../shared-core/src/jobs/steps/jobs.js';
import { createWorkspace, fileName, resolveUri } from '../../shared-core/src/workspace/index.js';
import { demoDump, demoFile, dumpOf } from './demo.js';
import { LATER } from './later.js';
import { type MemoryFile, memoryHost } from './memoryHost.js';

/** The address of a file of the folder that is open, or of one elsewhere that is given as its address. */
export const at = (name: string) => (name.startsWith('file:') ? name : `file:///car/${name}`);
export const PROFILE = { 'rear-body.dump-profile.json': demoFile('rear-body.dump-profile.json') };
export const FOUND = demoFile('rear-body.as-found.cfgdump');
/** As it was pasted: it names neither its profile nor a backup. */
export const PASTED = FOUND.replace(/^@(?:profile|seal|absent).*\n/gm, '');
export const READ = FOUND.replace(/^@(?:seal|absent).*\n/gm, '');
export const WRONG = demoFile('rear-body.cfgdump');
export const PLANNED = WRONG.replace('00 FF | 88', '00 FF | A8').replace(
  '17: 10 00 FF 00  FF 5C | 75',
  '17: 10 00 FF 00  FF 3C | 55',
);
export const UNCHANGED = READ.replace(/^@taken.*/m, '@backup rear-body.as-found.cfgdump');
export const BACK = PLANNED.replace(/^@backup.*/m, '@taken 2026-03-02T11:02:00Z');
export const german = (said: Phrase) => say(said, JSON.parse(readFileSync('l10n/bundle.l10n.de.json', 'utf8')));
/** A job card of some modules, each as found and as planned. */
export function cardOf(modules: readonly (readonly [string, string])[], to: Say = (said) => say(said)): string {
  const { profile } = demoDump('rear-body.as-found.cfgdump');
  const named = (text: string) => ({ name: 'x.cfgdump', dump: dumpOf(text, profile), problems: [], unchecked: [] });
  const input = {
    modules: modules.map(([found, planned]) => ({ before: named(found), after: named(planned), change: undefined })),
    retrofit: undefined,
    time: '2026-03-02T10:00:00Z',
  };
  return jobCard(input, to).text;
}
export const CARD = { 'x.job-card.md': cardOf([[FOUND, PLANNED]]) };
export const RETROFIT = {
  'socket.retrofit.json': JSON.stringify({
    format: 1,
    title: 'Socket',
    changes: [{ profile: 'rear-body.dump-profile.json', set: { 'trailer-socket': '13-pin' } }],
  }),
};
export const DONE = {
  ...PROFILE,
  ...CARD,
  'rear-body.as-found.cfgdump': FOUND,
  'rear-body.cfgdump': PLANNED,
  'rear-body.read-back.cfgdump': BACK,
};

export type Files = Readonly<Record<string, MemoryFile>>;

export async function jobsIn(files: Files, unsaved: readonly string[] = []): Promise<readonly VehicleJob[]> {
  return finish(jobSteps(await inputOf(files, unsaved))).vehicles;
}

export async function inputOf(files: Files, unsaved: readonly string[] = []): Promise<JobInput> {
  const host = memoryHost(new Map(Object.entries(files).map(([name, file]) => [at(name), file])));
  const workspace = createWorkspace(host, { atHand: () => workspace.list([at('')]) });
  const found = await workspace.list([at('')]);
  const dumps: JobDump[] = [];
  const unread: JobInput['unread'][number][] = [];
  for (const uri of found.dumps) {
    const loaded = await workspace.load(uri);
    if (loaded.ok) dumps.push(jobDump(loaded.value));
    else unread.push({ file: uri, says: loaded.why });
  }
  const cards: JobInput['cards'][number][] = [];
  for (const file of found.cards) {
    const text = await workspace.readText(file);
    if (text.ok) cards.push(savedCard(file, fileName(file), text.value, (said) => say(said)));
    else unread.push({ file, says: phrase('{0} cannot be read: {1}', fileName(file), text.why) });
  }
  const retrofits: JobInput['retrofits'][number][] = [];
  for (const file of found.retrofits) {
    const read = await workspace.readFittingRetrofit(file);
    const changes = read.kind === 'sound' ? read.retrofit.changes : [];
    retrofits.push({ file, read, profileFiles: changes.map(({ profile }) => resolveUri(file, profile)) });
  }
  const isSaved = (file: string) => !unsaved.map(at).includes(file);
  const isOutside = (file: string) => !file.startsWith(at(''));
  return { dumps, retrofits, cards, unread, isSaved, isOutside, now: LATER };
}

/** The steps of the one module there is, each in one line. */
export async function stepsIn(files: Files, unsaved?: readonly string[]): Promise<readonly string[]> {
  const jobs = await jobsIn(files, unsaved);
  const modules = jobs.flatMap((job) => job.modules);
  assert.equal(modules.length, 1, modules.map(({ title }) => title).join('; '));
  return (modules[0]?.steps ?? []).map(
    ({ id, state, says, action }) =>
      `${state} ${id}: ${say(says)}${action === undefined || state === 'later' ? '' : ` [${action.does} ${fileName(action.file)}]`}`,
  );
}

export const next = async (files: Files, unsaved?: readonly string[]) =>
  (await stepsIn(files, unsaved)).find((line) => !line.startsWith('done')) ?? '';
export const isDone = async (files: Files, id: string, unsaved?: readonly string[]) =>
  (await stepsIn(files, unsaved)).some((line) => line.startsWith(`done ${id}`));

export const others = (files: Files, ...names: readonly string[]): Files =>
  Object.fromEntries(Object.entries(files).filter(([name]) => !names.includes(name)));
