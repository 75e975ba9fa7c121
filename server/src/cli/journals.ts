import { dirname, join, sep } from 'node:path';
import {
  JOURNAL_NAME,
  type Journal,
  type JournalFiles,
  journalText,
  listed,
  type Phrase,
  phrase,
  readJournal,
  refuse,
  done as resultOf,
  type Settled,
  settleJournal,
} from '../../../shared-core/src/index.js';
import { Failure } from './failure.js';
import { type Disk, STDIN } from './load.js';
import type { Machine } from './machine.js';
import { isBusy, placeOfRead, save } from './save.js';
import { removeFile } from './temporary.js';

/** Finishes or undoes plans that were cut short in the folders of these files; gives what was done, to be told. */
export async function settleJournals(
  machine: Machine,
  disk: Disk,
  names: readonly string[],
): Promise<readonly Phrase[]> {
  const journals = new Set<string>();
  for (const name of names)
    for (const folder of await foldersOf(machine, disk, name))
      for (const found of journalsFrom(machine, folder)) journals.add(found);
  const said: Phrase[] = [];
  for (const folder of journals) {
    const settled = await settleIn(machine, folder);
    if (settled !== undefined) said.push(inWords(settled));
  }
  return said;
}

/** The folder that a file is in; a folder itself, and those below it that have dumps. */
async function foldersOf({ fs }: Machine, disk: Disk, name: string): Promise<readonly string[]> {
  if (name === STDIN) return [];
  try {
    const path = fs.realpathSync(name);
    if (fs.statSync(path)?.isDirectory() !== true) return [dirname(path)];
    return [...new Set([path, ...(await disk.within(path, 'dumps')).map((file) => dirname(join(path, file)))])];
  } catch {
    // Whoever reads it says what is wrong with it.
    return [];
  }
}

/** Folders with a journal that concerns a folder: itself, and those above it. */
function journalsFrom({ fs }: Machine, folder: string): readonly string[] {
  const found: string[] = [];
  for (let at = folder; ; at = dirname(at)) {
    const stat = fs.lstatSync(join(at, JOURNAL_NAME), { throwIfNoEntry: false });
    // In a folder above, which others may share, only one's own counts.
    if (stat !== undefined && (at === folder || stat.uid === process.getuid?.())) found.push(at);
    if (dirname(at) === at) return found;
  }
}

const PATIENCE = 5000;
const STEP = 50;

/** Settles the journal of a folder, waiting for a run that is under way; undefined where that has ended by itself. */
async function settleIn(machine: Machine, folder: string): Promise<Settled | undefined> {
  const path = join(folder, JOURNAL_NAME);
  for (let waited = 0; ; waited += STEP) {
    const text = journalAt(machine, path);
    if (text === undefined) return undefined;
    const journal = readJournal(text);
    if (!journal.ok) throw new Failure(listed([path, journal.why], ': '));
    if (isLeft(machine, path, journal.value) && takeOver(machine, path, text, journal.value)) {
      const settled = await settleJournal(journal.value, filesIn(machine, folder));
      if (!settled.ok) throw new Failure(listed([folder, settled.why], ': '));
      removeFile(machine, path);
      return settled.value;
    }
    if (waited >= PATIENCE) throw isBusy(folder);
    machine.wait(STEP);
  }
}

function journalAt({ fs }: Machine, path: string): string | undefined {
  const stat = fs.lstatSync(path, { throwIfNoEntry: false });
  if (stat === undefined) return undefined;
  return stat.isFile() ? fs.readFileSync(path, 'utf8') : '';
}

/** Writing takes seconds; what is older than this has been left, whatever has its number of a process by now. */
const TOO_OLD = 3_600_000;

function isLeft({ fs, host, isAlive }: Machine, path: string, journal: Journal): boolean {
  if (journal.host === host && !isAlive(journal.pid)) return true;
  const written = fs.lstatSync(path, { throwIfNoEntry: false })?.mtimeMs;
  return written !== undefined && Date.now() - written > TOO_OLD;
}

/** Makes a journal this run's own, so that no other settles it too; false where another run was first. */
function takeOver(machine: Machine, path: string, text: string, journal: Journal): boolean {
  try {
    const own = journalText({ ...journal, host: machine.host, pid: machine.pid });
    save(machine, placeOfRead(machine, path, text), (sink) => sink.text(own));
    return true;
  } catch (error) {
    if (journalAt(machine, path) !== text) return false;
    throw error;
  }
}

function filesIn(machine: Machine, folder: string): JournalFiles {
  const { fs } = machine;
  // A link could lead out of the folder, to a file that no plan was about.
  const inside = (file: string) =>
    fs.realpathSync(join(folder, file)) === `${folder}${sep}${file.split('/').join(sep)}`;
  return {
    read: async (file) => {
      try {
        return inside(file) ? fs.readFileSync(join(folder, file), 'utf8') : undefined;
      } catch {
        return undefined;
      }
    },
    write: async ({ file, before, after }) => {
      try {
        save(machine, placeOfRead(machine, join(folder, file), before), (sink) => sink.text(after));
        return resultOf(undefined);
      } catch (error) {
        if (error instanceof Failure) return refuse(error.said);
        throw error;
      }
    },
  };
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
