import { pathToFileURL } from 'node:url';
import type { Consent } from '../../../shared-core/src/actions/index.js';
import { done, type Phrase, phrase, type Result, refuse } from '../../../shared-core/src/base/index.js';
import {
  JOURNAL_NAME,
  type Journal,
  type JournalFiles,
  journalText,
  proveChange,
  readJournal,
  type Settled,
  settleJournal,
  stageOfPlan,
  type WayOut,
  waysOut,
} from '../../../shared-core/src/jobs/index.js';
import {
  canonicalUri,
  codedFiles,
  createWorkspace,
  dumpOfText,
  fileName,
} from '../../../shared-core/src/workspace/index.js';
import { utf8 } from '../codec.js';
import { Failure } from './failure.js';
import { isWindows, type Machine } from './machine.js';
import { isBusy, placeOfRead, save } from './save.js';
import { refuseLossy, removeFile } from './temporary.js';

/** A plan that a run has left in a folder, or that another run is carrying out. */
export interface LeftPlan {
  /** What was found, in a sentence. */
  readonly says: Phrase;
  /** The folder of its journal, and the modules in it by their paths; none where the journal cannot be read. */
  readonly folder: string;
  readonly files: readonly string[];
  /** `half`: the modules do not agree, or it cannot be told; what is read of them is of no use. */
  readonly isHalf: boolean;
  /** The run that wrote it is known to be over: it was one of this machine. */
  readonly isLeft: boolean;
  /** How it may be brought to an end, as far as everything in it is proved. */
  readonly ways: (consent: Consent) => Promise<Result<readonly WayOut[]>>;
  /** Brings it to an end and says how. A person may say that a run is over of which that is not known. */
  readonly settle: (way: WayOut, consent: Consent & { readonly isOver?: boolean }) => Promise<Result<Phrase>>;
}

/**
 * The plans that are left in some folders, or in those above them where one of the modules is in the same part of the tree or
 * it cannot be told. Nothing is written.
 */
export async function leftPlans(machine: Machine, folders: readonly string[]): Promise<readonly LeftPlan[]> {
  const journals = new Set(folders.flatMap((folder) => journalsFrom(machine, folder)));
  const plans: LeftPlan[] = [];
  for (const folder of journals) {
    const plan = await leftPlan(machine, folder);
    if (plan !== undefined && folders.some((one) => concerns(machine, plan, one))) plans.push(plan);
  }
  return plans;
}

/**
 * What is to be said of each of some files that were read, by their paths: modules of a plan that is half done are not good,
 * each by itself or not; where none of them is among the files, what was read beside them.
 */
export function cutShortAmong(
  plans: readonly LeftPlan[],
  paths: readonly string[],
): (path: string) => readonly Phrase[] {
  return (path) =>
    plans.flatMap(({ files, says }) => (files.includes(path) || !paths.some((one) => files.includes(one)) ? says : []));
}

/** The plans that are half done and concern some of the files that were read. */
export function halfDone(plans: readonly LeftPlan[], wasRead: (path: string) => boolean): readonly LeftPlan[] {
  return plans.filter(({ isHalf, files }) => isHalf && (files.length === 0 || files.some(wasRead)));
}

function concerns({ paths }: Machine, { folder, files }: LeftPlan, place: string): boolean {
  const isWithin = (path: string, top: string) =>
    path === top || path.startsWith(top.endsWith(paths.sep) ? top : top + paths.sep);
  const isNear = (file: string) => isWithin(file, place) || isWithin(place, paths.dirname(file));
  return folder === place || files.length === 0 || files.some(isNear);
}

/** Folders with a journal that may concern a folder: itself, and those above it. */
function journalsFrom({ fs, paths, uid }: Machine, folder: string): readonly string[] {
  const found: string[] = [];
  for (let at = folder; ; at = paths.dirname(at)) {
    const stat = fs.lstatSync(paths.join(at, JOURNAL_NAME), { throwIfNoEntry: false });
    // In a folder above, which others may share, only one's own counts, where the system tells whose it is.
    if (stat !== undefined && (at === folder || uid === undefined || stat.uid === uid)) found.push(at);
    if (paths.dirname(at) === at) return found;
  }
}

const PATIENCE = 5000;
const STEP = 50;

/** The plan of a folder, once a run that is under way has had time to end; undefined where it has. */
async function leftPlan(machine: Machine, folder: string): Promise<LeftPlan | undefined> {
  const path = machine.paths.join(folder, JOURNAL_NAME);
  for (let waited = 0; ; waited += STEP) {
    const text = journalAt(machine, path);
    if (text === undefined) return undefined;
    const journal = readJournal(text);
    if (!journal.ok) return unreadablePlan(folder, phrase('{0}: {1}', path, journal.why));
    if (isLeft(machine, journal.value) || waited >= PATIENCE) return planOf(machine, folder, text, journal.value);
    machine.wait(STEP);
  }
}

function unreadablePlan(folder: string, says: Phrase): LeftPlan {
  const refused = async () => refuse(says);
  return { says, folder, files: [], isHalf: true, isLeft: true, ways: refused, settle: refused };
}

async function planOf(machine: Machine, folder: string, text: string, journal: Journal): Promise<LeftPlan> {
  const path = machine.paths.join(folder, JOURNAL_NAME);
  const stage = await stageOfPlan(journal, filesIn(machine, folder, {}));
  const over = isLeft(machine, journal);
  const names = journal.modules.map(({ file }) => file).join(', ');
  const says = (): Phrase => {
    switch (stage.kind) {
      case 'before':
        return inWords({ kind: 'dropped', files: [names] });
      case 'after':
        return phrase('A plan was cut short when all was written: {0} are as planned.', names);
      case 'half':
        return phrase('A plan was cut short in {0}: of {1}, some are as planned and some are not.', folder, names);
      case 'changed':
        return phrase('{0}: {1}', folder, stage.why);
    }
  };
  return {
    says: over ? says() : isBusy(folder).said,
    folder,
    files: journal.modules.map(({ file }) => machine.paths.join(folder, file)),
    isHalf: stage.kind === 'half' || stage.kind === 'changed',
    isLeft: over,
    ways: (consent) => waysOut(journal, filesIn(machine, folder, consent)),
    settle: async (way, { isOver = false, ...consent }) => {
      if (!over && !isOver) return refuse(isBusy(folder).said);
      const files = filesIn(machine, folder, consent);
      const proved = await waysOut(journal, files);
      if (!proved.ok) return { ...proved, why: phrase('{0}: {1}', folder, proved.why) };
      const taken = takeOver(machine, path, text, journal);
      if (!taken.ok) return taken;
      const settled = await settleJournal(journal, files, way);
      if (!settled.ok) return { ...settled, why: phrase('{0}: {1}', folder, settled.why) };
      removeFile(machine, path);
      return done(inWords(settled.value));
    },
  };
}

function journalAt({ fs }: Machine, path: string): string | undefined {
  const stat = fs.lstatSync(path, { throwIfNoEntry: false });
  if (stat === undefined) return undefined;
  return stat.isFile() ? fs.readFileSync(path, 'utf8') : '';
}

/** Of a run on another machine it is never known that it is over, however long ago it began. */
function isLeft({ host, isAlive }: Machine, journal: Journal): boolean {
  return journal.host === host && !isAlive(journal.pid);
}

/** Makes a journal this run's own, so that no other settles it too; refused where another run was first. */
function takeOver(machine: Machine, path: string, text: string, journal: Journal): Result<void> {
  const own = journalText({ ...journal, host: machine.host, pid: machine.pid });
  return attempt(() => save(machine, placeOfRead(machine, path, text), (sink) => sink.text(own)));
}

function filesIn(machine: Machine, folder: string, consent: Consent): JournalFiles {
  const { fs, disk, paths } = machine;
  const pathOf = (file: string) => paths.join(folder, file);
  // A link could lead out of the folder, to a file that no plan was about.
  const inside = (file: string) => fs.realpathSync(pathOf(file)) === pathOf(file);
  const uriOf = (file: string) => canonicalUri(pathToFileURL(pathOf(file), { windows: isWindows(machine) }).toString());
  const coded = codedFiles(disk, utf8);
  /** The bytes of a text in a file that was read. */
  const bytesOf = (file: string, text: string): Uint8Array | undefined => {
    const encoded = coded.codingOf(uriOf(file))?.encode(text) ?? done({ bytes: utf8.encode(text) });
    return encoded.ok ? encoded.value.bytes : undefined;
  };
  return {
    read: async (file) => {
      try {
        const opened = inside(file) ? await coded.open(uriOf(file)) : undefined;
        if (opened?.ok !== true) return undefined;
        const text = opened.value.text();
        const bytes = bytesOf(file, text);
        const isWhole = bytes !== undefined && fs.readFileSync(pathOf(file)).equals(bytes);
        return opened.value.close().ok && isWhole ? text : undefined;
      } catch {
        return undefined;
      }
    },
    prove: async ({ file, before, after }) => {
      const uri = uriOf(file);
      const opened = await coded.open(uri);
      if (!opened.ok) return opened;
      const { form, close } = opened.value;
      const closed = close();
      if (!closed.ok) return closed;
      // One of its own for each: nothing that was read before the modules changed is believed.
      const workspace = createWorkspace({ ...disk, readsRawBytes: true, open: coded.open });
      const loaded = await workspace.load(uri, { open: dumpOfText(fileName(uri), before, form) });
      return loaded.ok ? proveChange(loaded.value, after, consent) : loaded;
    },
    write: async ({ file, before, after }) =>
      attempt(() => {
        const place = placeOfRead(machine, pathOf(file), before, bytesOf(file, before));
        const bytes = bytesOf(file, after);
        if (bytes === undefined)
          throw new Failure(phrase('{0} cannot be written in the encoding that it has.', pathOf(file)));
        refuseLossy(pathOf(file), after);
        save(machine, place, (sink) => sink.ascii(bytes));
      }),
  };
}

function attempt(work: () => void): Result<void> {
  try {
    return done(work());
  } catch (error) {
    if (error instanceof Failure) return refuse(error.said);
    throw error;
  }
}

function inWords({ kind, files }: Settled): Phrase {
  const names = files.join(', ');
  switch (kind) {
    case 'finished':
      return phrase('A plan that was cut short has been finished: {0} are as planned.', names);
    case 'undone':
      return phrase('A plan that was cut short has been undone: {0} are as they were before it.', names);
    case 'dropped':
      return phrase('A plan was cut short before it changed anything: {0} are as they were before it.', names);
  }
}
