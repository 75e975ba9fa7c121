import { constants } from 'node:fs';
import { type Phrase, phrase, type TextSink } from '../../../shared-core/src/base/index.js';
import { JOURNAL_NAME, journalText, readJournal } from '../../../shared-core/src/jobs/index.js';
import { Failure, refusalOf } from './failure.js';
import { digestOf } from './fileContent.js';
import type { Machine } from './machine.js';
import { cannotWrite, type Place, placeToWrite } from './place.js';
import { refuseLossy, removeFile, type Temporary, waitForOthers, writeBeside } from './temporary.js';

/** A file, the text that it had when it was read, and the one that it is to get. */
export interface Rewrite {
  readonly file: string;
  readonly before: string;
  readonly text: string;
  /** The bytes of such a text in the file. */
  readonly bytesOf: (text: string) => Uint8Array;
}

/**
 * Writes a file through one beside it, so that it is whole at every moment. It is written only where it still is what
 * it was when its place was looked at.
 */
export function save(machine: Machine, place: Place, produce: (sink: TextSink) => void): void {
  const temporary = writeBeside(machine, place, produce);
  try {
    waitForOthers(machine, temporary);
    takePlace(machine, temporary);
  } catch (error) {
    removeFile(machine, temporary.path);
    throw error;
  }
}

/** The place of a file that is to be replaced, where it still has the text that it had when it was read. */
export function placeOfRead(
  machine: Machine,
  file: string,
  before: string,
  bytes: Uint8Array = Buffer.from(before),
): Place {
  refuseLossy(file, before);
  const place = placeToWrite(machine, file);
  if (place.was?.digest !== digestOf(bytes)) throw hasChanged(file);
  return place;
}

/**
 * Writes several files, all or none. All are there beside their places before the first takes its place, and a journal
 * says meanwhile what is under way, so that whoever comes after a run that was killed can finish it or undo it.
 */
export function saveAll(machine: Machine, rewrites: readonly Rewrite[]): void {
  const { places, texts } = readyToSave(machine, rewrites);
  const write = (i: number) => (sink: TextSink) => sink.ascii(texts[i] as Uint8Array);
  const [only, ...others] = places;
  if (only !== undefined && others.length === 0) save(machine, only, write(0));
  if (others.length === 0) return;
  const temporaries: Temporary[] = [];
  try {
    for (const [i, place] of places.entries()) temporaries.push(writeBeside(machine, place, write(i)));
    for (const temporary of temporaries) waitForOthers(machine, temporary);
    for (const { place } of temporaries) mustBeAsItWas(machine, place);
    const journal = journalOf(machine, places, rewrites);
    save(machine, journal.place, (sink) => sink.text(journal.text));
    takeAllPlaces(machine, temporaries, rewrites, () => removeFile(machine, journal.place.path));
  } catch (error) {
    for (const { path } of temporaries) removeFile(machine, path);
    throw error;
  }
}

/** Why files cannot be written as they are now, by what is looked at before they are; undefined where nothing is in the way. */
export function whyNotSaved(machine: Machine, rewrites: readonly Rewrite[]): Phrase | undefined {
  return refusalOf(() => {
    const { places } = readyToSave(machine, rewrites);
    for (const place of places) mustTakeFiles(machine, place);
    if (places.length > 1) journalOf(machine, places, rewrites);
  });
}

/** What is to be written, and where: each file is what it was when it was read, and may be replaced. */
function readyToSave(machine: Machine, rewrites: readonly Rewrite[]) {
  const places = rewrites.map(({ file, before, bytesOf }) => placeOfRead(machine, file, before, bytesOf(before)));
  const texts = rewrites.map(({ file, text, bytesOf }) => {
    refuseLossy(file, text);
    return bytesOf(text);
  });
  return { places, texts };
}

/** Looks whether the folder of a file takes another one, as is needed to replace it. */
function mustTakeFiles({ fs, paths }: Machine, { name, path }: Place): void {
  try {
    fs.accessSync(paths.dirname(path), constants.W_OK);
  } catch (error) {
    throw cannotWrite(name, error);
  }
}

/** The journal beside the files, in the folder that all of them are in or below. */
function journalOf(machine: Machine, places: readonly Place[], rewrites: readonly Rewrite[]) {
  const { paths } = machine;
  const folder = commonFolder(
    machine,
    places.map(({ path }) => path),
  );
  const text = journalText({
    host: machine.host,
    pid: machine.pid,
    modules: rewrites.map(({ before, text: after }, i) => ({
      file: paths
        .relative(folder, places[i]?.path ?? '')
        .split(paths.sep)
        .join('/'),
      before,
      after,
    })),
  });
  if (!readJournal(text).ok)
    throw new Failure(
      phrase('The modules of one plan must be in one folder, or in folders below it that are not hidden.'),
    );
  const place = placeToWrite(machine, paths.join(folder, JOURNAL_NAME));
  if (place.was !== undefined) throw isBusy(folder);
  return { place, text };
}

function commonFolder({ paths }: Machine, files: readonly string[]): string {
  const isIn = (folder: string, file: string) =>
    file.startsWith(folder.endsWith(paths.sep) ? folder : `${folder}${paths.sep}`);
  let folder = paths.dirname(files[0] ?? '');
  while (!files.every((file) => isIn(folder, file)) && paths.dirname(folder) !== folder) folder = paths.dirname(folder);
  return folder;
}

/** Lets all take their places; where one cannot, those before it get back what they were. */
function takeAllPlaces(
  machine: Machine,
  temporaries: readonly Temporary[],
  rewrites: readonly Rewrite[],
  done: () => void,
): void {
  let taken = 0;
  try {
    for (const temporary of temporaries) {
      takePlace(machine, temporary);
      taken++;
    }
  } catch (error) {
    // Where this fails too, the journal stays, and the next run tries again.
    for (const { file, before, text, bytesOf } of rewrites.slice(0, taken).reverse())
      save(machine, placeOfRead(machine, file, text, bytesOf(text)), (sink) => sink.ascii(bytesOf(before)));
    done();
    throw error;
  }
  done();
}

function takePlace(machine: Machine, { place, path }: Temporary): void {
  mustBeAsItWas(machine, place);
  try {
    machine.fs.renameSync(path, place.path);
  } catch (error) {
    throw cannotWrite(place.name, error);
  }
  flushFolder(machine, machine.paths.dirname(place.path));
}

function mustBeAsItWas(machine: Machine, { name, path, was }: Place): void {
  const now = placeToWrite(machine, name);
  const same =
    was === undefined || now.was === undefined
      ? was === now.was
      : now.was.digest === was.digest &&
        now.was.mode === was.mode &&
        now.was.uid === was.uid &&
        now.was.gid === was.gid;
  if (now.path !== path || !same) throw hasChanged(name);
}

/** What the folder holds outlasts a loss of power; disks that cannot promise it do without. */
function flushFolder({ fs }: Machine, folder: string): void {
  try {
    const handle = fs.openSync(folder, 'r');
    try {
      fs.fsyncSync(handle);
    } finally {
      fs.closeSync(handle);
    }
  } catch {
    // Windows, for one, opens no folder.
  }
}

export function isBusy(folder: string): Failure {
  return new Failure(
    phrase(
      'Another run is writing the modules in {0}, or was cut short there. Wait until it has ended, then try again. If none is under way, open the folder in the editor and choose "Finish the Plan", or move {1} to another folder and restore the modules from their backups.',
      folder,
      JOURNAL_NAME,
    ),
  );
}

function hasChanged(name: string): Failure {
  return new Failure(phrase('{0} has changed since it was read. Nothing was changed; try again.', name));
}
