import type { CancellationToken, Connection } from 'vscode-languageserver';
import {
  canonicalUri,
  createUriMap,
  type FileList,
  fileName,
  filesOf,
  type InitializationOptions,
  isUnsaved,
  JOBS,
  JOBS_CHANGED,
  type JobInput,
  type JobStep,
  type JobsParams,
  type JobsResult,
  jobsOf,
  type LoadedDump,
  type Phrase,
  parentUri,
  phrase,
  type Result,
  resolveUri,
  type Step,
  savedCard,
} from '../../../shared-core/src/index.js';
import { answerOfVersions, type Feature } from '../feature.js';
import { isWatched, type Session } from '../session.js';
import { pauses } from '../slices.js';

/** The jobs of the vehicles whose files lie in the folders that are open, computed anew each time they are asked for. */
export const jobs: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    const read = keepingClosed(session);
    connection.onRequest<JobsResult, void>(JOBS, (params: JobsParams, token: CancellationToken) => {
      const opened = [...session.documents.keys()];
      return answerOfVersions(
        session,
        () => jobsIn(session, read, params, token),
        () => opened,
      );
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

type Read = (uri: string) => Promise<Result<LoadedDump>>;

/** Reads dumps; closed ones once until something changes, where the client tells of that. */
function keepingClosed(session: Session): Read {
  const read: Read = (uri) => session.analyzeFile(uri, LONGEST_CLOSED);
  if (!isWatched(session.client)) return read;
  let kept = createUriMap<Promise<Result<LoadedDump>>>();
  const forget = async (): Promise<void> => {
    for (;;) {
      await session.changes.next();
      kept = createUriMap();
    }
  };
  void forget();
  return (uri) => {
    // Nobody tells of files that lie in none of the folders.
    if (session.documents.has(uri) || !isInFolders(session, uri)) return read(uri);
    const known = kept.get(uri) ?? read(uri);
    kept.set(uri, known);
    return known;
  };
}

/** The files of the folders that are open, and those beside dumps that lie elsewhere: the rest of their job is there. */
async function filesAround(session: Session, open: readonly string[]): Promise<FileList> {
  const listed = await session.list();
  const elsewhere = open.filter((uri) => !isUnsaved(uri) && !isInFolders(session, uri)).map(parentUri);
  if (elsewhere.length === 0) return listed;
  const beside = await session.files.list([...new Set(elsewhere)], { deep: false });
  const { dumps, profiles, retrofits, cards } = beside;
  const all = [listed.dumps, listed.profiles, listed.retrofits, listed.cards, dumps, profiles, retrofits, cards].flat();
  return filesOf([...new Set(all)].sort(), [...listed.unlisted, ...beside.unlisted]);
}

function isInFolders(session: Session, uri: string): boolean {
  return session.folders().some((folder) => uri.startsWith(`${canonicalUri(folder).replace(/\/$/, '')}/`));
}

interface UnreadFile {
  readonly uri: string | null;
  readonly says: Phrase;
}

async function jobsIn(
  session: Session,
  read: Read,
  { unsaved }: JobsParams,
  token: CancellationToken,
): Promise<JobsResult> {
  const open = [...session.documents.values()].flatMap(({ kind, uri }) => (kind === 'dump' ? canonicalUri(uri) : []));
  const found = await filesAround(session, open);
  const unread: UnreadFile[] = found.unlisted.map((says) => ({ uri: null, says }));
  const pause = pauses(token);
  const dumps: LoadedDump[] = [];
  for (const uri of new Set([...found.dumps, ...open])) {
    await pause();
    const loaded = await read(uri);
    if (loaded.ok) dumps.push(loaded.value);
    else unread.push({ uri, says: loaded.why });
  }
  const cards: JobInput['cards'][number][] = [];
  for (const file of found.cards) {
    const text = await session.files.readText(file);
    if (text.ok) cards.push(savedCard(file, fileName(file), text.value, session.say));
    else unread.push({ uri: file, says: phrase('{0} cannot be read: {1}', fileName(file), text.why) });
  }
  const retrofits: JobInput['retrofits'][number][] = [];
  for (const file of found.retrofits) {
    const retrofit = await session.files.readRetrofit(file);
    const changes = retrofit.kind === 'sound' ? retrofit.retrofit.changes : [];
    retrofits.push({ file, read: retrofit, profileFiles: changes.map(({ profile }) => resolveUri(file, profile)) });
  }
  const torn = retrofits.flatMap(({ file, read }): UnreadFile | readonly [] =>
    read.kind === 'sound' ? [] : { uri: file, says: read.why },
  );
  await pause();
  const dirty = new Set(unsaved.map(canonicalUri));
  const isSaved = (file: string) => !dirty.has(canonicalUri(file));
  const vehicles = jobsOf({ dumps, retrofits, cards, unread: unread.map(({ says }) => says), isSaved });
  return {
    vehicles: vehicles.map(({ modules, ...vehicle }) => ({
      ...vehicle,
      modules: modules.map(({ title, file, files, steps }) => ({
        title,
        uri: file,
        uris: files,
        steps: steps.map(toStep(session)),
      })),
    })),
    unread: [...unread, ...torn].map(({ uri, says }) => ({
      uri,
      name: uri === null ? session.say(says) : fileName(uri),
      says: session.say(says),
    })),
  };
}

function toStep({ say }: Session): (step: Step) => JobStep {
  return ({ id, title, state, says, action }) => ({
    id,
    title: say(title),
    state,
    says: say(says),
    action: action === undefined ? null : { does: action.does, uri: action.file, other: action.other ?? null },
  });
}
