import { done, type Phrase, phrase, type Result } from '../../../shared-core/src/base/index.js';
import {
  type JobDump,
  type JobInput,
  type Jobs,
  jobDump,
  jobSteps,
  type Step,
  savedCard,
  withUnchecked,
} from '../../../shared-core/src/jobs/index.js';
import { headerValue } from '../../../shared-core/src/model/index.js';
import type { InitializationOptions } from '../../../shared-core/src/protocol/initialization.js';
import {
  JOBS,
  JOBS_CHANGED,
  type JobAction,
  type JobStep,
  type JobsParams,
  type JobsResult,
} from '../../../shared-core/src/protocol/jobs.js';
import {
  bothLists,
  canonicalUri,
  createUriMap,
  type FileList,
  fileName,
  isUnsaved,
  parentUri,
  resolveUri,
} from '../../../shared-core/src/workspace/index.js';
import { filesUnder } from '../bases.js';
import { cutShortFor } from '../cutShort.js';
import { answerOfVersions, type Feature } from '../feature.js';
import { explainingProfiles } from '../fittingProfiles.js';
import type { CancellationToken, Connection } from '../lsp.js';
import type { Session } from '../session.js';
import { inSlices, pauses } from '../slices.js';
import { namingOf, readUnbound } from '../unboundDumps.js';

/** The jobs of the vehicles whose files lie in the folders that are open, computed anew each time they are asked for. */
export const jobs: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    const read = keepingClosed(session);
    let last: Jobs | undefined;
    connection.onRequest<JobsResult, void>(JOBS, (params: JobsParams, token: CancellationToken) => {
      const opened = [...session.documents.keys()];
      const compute = async (): Promise<JobsResult> => {
        const { input, left, unread } = await gather(session, read, params, token);
        last = await inSlices(jobSteps(input, last), token);
        return toResult(session, last, input, await toLoad(session, last), unread, left);
      };
      return answerOfVersions(session, compute, () => opened);
    });
  },
  initialized: (connection, session) => {
    const { jobs: isShown } = (session.client.initializationOptions ?? {}) as InitializationOptions;
    if (isShown === true) void tellChanges(connection, session);
  },
};

async function tellChanges(connection: Connection, session: Session): Promise<void> {
  for (;;) {
    await session.changes.next();
    await connection.sendNotification(JOBS_CHANGED).catch(() => undefined);
  }
}

/** Closed files with more bytes than these are looked at once they are opened: they would hold up whoever types. */
const LONGEST_CLOSED = 10_000_000;

type Read = (uri: string) => Promise<Result<JobDump>>;
type ReaderFor = (found: FileList, pause: ReturnType<typeof pauses>) => Promise<Read>;

/** Reads dumps; closed ones once while all files that were found are surely as they were. */
function keepingClosed(session: Session): ReaderFor {
  let kept = createUriMap<JobDump>();
  let stamps: readonly string[] = [];
  const forget = async (): Promise<void> => {
    for (;;) {
      await session.changes.next();
      kept = createUriMap();
    }
  };
  void forget();
  return async (found, pause) => {
    await session.files.lookAgain();
    const files = new Set([...found.dumps, ...found.profiles].map(canonicalUri));
    // Of what is open, `changes` tells.
    const stampOf = async (uri: string) => (session.documents.has(uri) ? 'open' : session.files.stamp(uri));
    const now = await Promise.all([...files].map(async (uri) => `${uri} ${(await stampOf(uri)) ?? ''}`));
    if (now.join('\n') !== stamps.join('\n') || now.some((one) => one.endsWith(' '))) kept = createUriMap();
    stamps = now;
    return async (uri) => {
      const known = session.documents.has(uri) ? undefined : kept.get(uri);
      if (known !== undefined) return done(known);
      const into = kept;
      const loaded = await session.analyzeFile(uri, LONGEST_CLOSED);
      if (!loaded.ok) return loaded;
      const read = await withFitting(session, jobDump(loaded.value), pause);
      const { backupFile = uri, profileFile } = loaded.value;
      const ofProfile = profileFile === undefined ? [] : [profileFile, ...(await filesUnder(session, profileFile))];
      if ([uri, backupFile, ...ofProfile].every((one) => files.has(canonicalUri(one)))) into.set(uri, read);
      return done(read);
    };
  };
}

/** A dump that names no profile, with those that explain it: *Work Out the Checksum Rule* asks for them first. */
async function withFitting(session: Session, dump: JobDump, pause: ReturnType<typeof pauses>): Promise<JobDump> {
  const { file, loaded } = dump;
  const unbound = loaded.profile.kind === 'none' ? await readUnbound(session, file) : undefined;
  const naming = unbound?.ok ? namingOf(unbound.value) : null;
  if (!unbound?.ok || naming === null) return dump;
  const fitting = await explainingProfiles(session, file, unbound.value.dump, pause);
  return { ...dump, fitting: fitting.map(({ path }) => path) };
}

/** The files of the folders that are open, and those beside dumps that lie elsewhere: the rest of their job is there. */
async function filesAround(session: Session, open: readonly string[]): Promise<FileList> {
  const listed = await session.list();
  const elsewhere = open.filter((uri) => !isUnsaved(uri) && !isInFolders(session, uri)).map(parentUri);
  if (elsewhere.length === 0) return listed;
  const beside = await session.files.list([...new Set(elsewhere)], { deep: false });
  return bothLists(listed, beside);
}

function isInFolders(session: Session, uri: string): boolean {
  return session.folders().some((folder) => uri.startsWith(`${canonicalUri(folder).replace(/\/$/, '')}/`));
}

interface Gathered {
  readonly input: JobInput;
  readonly unread: JobInput['unread'];
  /** How many dumps were not looked at, as there are too many. */
  readonly left: number;
}

async function gather(
  session: Session,
  readerFor: ReaderFor,
  { unsaved, around }: JobsParams,
  token: CancellationToken,
): Promise<Gathered> {
  const open = [...session.documents.values()].flatMap(({ kind, uri }) =>
    kind === 'dump' && !session.gone.has(uri) ? canonicalUri(uri) : [],
  );
  const found = await filesAround(session, open);
  const pause = pauses(token);
  const reader = await readerFor(found, pause);
  const unread: JobInput['unread'][number][] = found.unlisted.map((says) => ({ file: undefined, says }));
  const all = [...new Set([...found.dumps, ...open])];
  const here = all.length <= MOST_DUMPS ? all : inFolderOf(all, around);
  const read: JobDump[] = [];
  for (const uri of here) {
    await pause();
    const dump = await reader(uri);
    if (dump.ok) read.push(dump.value);
    else unread.push({ file: uri, says: dump.why });
  }
  const cutShort = await cutShortFor(
    session,
    read.map(({ loaded }) => loaded),
  );
  const dumps = read.map((dump) => cutShortIn(dump, cutShort(dump.file)));
  const cards: JobInput['cards'][number][] = [];
  for (const file of found.cards) {
    const text = await session.files.readText(file);
    if (text.ok) cards.push(savedCard(file, fileName(file), text.value, session.say));
    else unread.push({ file, says: phrase('{0} cannot be read: {1}', fileName(file), text.why) });
  }
  const retrofits: JobInput['retrofits'][number][] = [];
  for (const file of found.retrofits) {
    const retrofit = await session.files.readFittingRetrofit(file);
    const changes = retrofit.kind === 'sound' ? retrofit.retrofit.changes : [];
    retrofits.push({ file, read: retrofit, profileFiles: changes.map(({ profile }) => resolveUri(file, profile)) });
  }
  const torn = retrofits.flatMap(({ file, read }): JobInput['unread'][number] | readonly [] =>
    read.kind === 'sound' ? [] : { file, says: read.why },
  );
  const dirty = new Set(unsaved.map(canonicalUri));
  const isSaved = (file: string) => !dirty.has(canonicalUri(file));
  const isOutside = (file: string) => session.folders().length > 0 && !isUnsaved(file) && !isInFolders(session, file);
  return {
    input: {
      ...{ dumps, retrofits, cards, isSaved, isOutside },
      unread,
      now: new Date().toISOString(),
    },
    unread: [...unread, ...torn],
    left: all.length - here.length,
  };
}

function cutShortIn(dump: JobDump, said: readonly Phrase[]): JobDump {
  const [first] = said;
  return first === undefined ? dump : { ...withUnchecked(dump, said), cutShort: first };
}

/** More dumps than these are many vehicles: then only the folder of the one that is worked on is looked at. */
const MOST_DUMPS = 150;

function inFolderOf(uris: readonly string[], around: string | null): readonly string[] {
  if (around === null || isUnsaved(around)) return [];
  const folder = `${parentUri(canonicalUri(around)).replace(/\/$/, '')}/`;
  return uris.filter((uri) => uri.startsWith(folder)).slice(0, MOST_DUMPS);
}

function toResult(
  session: Session,
  { vehicles, compared, similar }: Jobs,
  { isSaved }: JobInput,
  toBeLoaded: ReadonlySet<string>,
  unread: JobInput['unread'],
  left: number,
): JobsResult {
  return {
    vehicles: vehicles.map(({ id, title, modules }) => ({
      id,
      title,
      modules: modules.map(({ title: name, file, files, steps }) => ({
        title: name,
        uri: file,
        uris: files,
        steps: steps.map(toStep(session, toBeLoaded)),
      })),
    })),
    unread: unread.map(({ file, says }) => ({
      uri: file ?? null,
      name: file === undefined ? session.say(says) : fileName(file),
      says: session.say(says),
    })),
    compared: compared.map(({ file, name, dump }) => ({
      ...{ uri: file, name, isSaved: isSaved(file) },
      vehicle: headerValue(dump, 'vehicle') ?? headerValue(dump, 'vin') ?? null,
    })),
    similar: similar.flatMap(({ of: { file, name }, count }) => (count === 0 ? [] : { uri: file, name, count })),
    left,
  };
}

/** The dumps that are to be loaded into their module next, and from which headers have to be taken first: not bytes alone. */
async function toLoad(session: Session, { vehicles }: Jobs): Promise<ReadonlySet<string>> {
  const found = new Set<string>();
  for (const { steps } of vehicles.flatMap(({ modules }) => modules)) {
    const { action } = steps.find(isToBeLoaded) ?? {};
    if (action === undefined || (await session.isRaw(action.file))) continue;
    if (!(await session.hasHeadersBeside(action.file))) found.add(action.file);
  }
  return found;
}

function isToBeLoaded({ id, state, action }: Step): boolean {
  return id === 'readBack' && state === 'next' && action?.does === 'bringBack';
}

function moreOf(step: Step, toBeLoaded: ReadonlySet<string>): readonly NonNullable<Step['action']>[] {
  const { action, more = [] } = step;
  return action !== undefined && isToBeLoaded(step) && toBeLoaded.has(action.file)
    ? [{ ...action, does: 'saveToLoad' }, ...more]
    : more;
}

function toStep({ say }: Session, toBeLoaded: ReadonlySet<string>): (step: Step) => JobStep {
  return (step) => ({
    id: step.id,
    title: say(step.title),
    state: step.state,
    says: say(step.says),
    action: step.action === undefined ? null : toAction(step.action),
    more: moreOf(step, toBeLoaded).map(toAction),
  });
}

function toAction({ does, file, other }: NonNullable<Step['action']>): JobAction {
  return { does, uri: file, other: other ?? null };
}
