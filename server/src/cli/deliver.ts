import { type Phrase, phrase, type TextSink } from '../../../shared-core/src/base/index.js';
import { formOf, isDumpName, notationOf } from '../../../shared-core/src/format/index.js';
import { BINARY, HEADERS_BESIDE } from '../../../shared-core/src/workspace/index.js';
import { Failure, refusalOf } from '../files/failure.js';
import type { Machine } from '../files/machine.js';
import { fillFolder, folderToFill, type NewFile } from '../files/newFolder.js';
import { type Place, placeToWrite } from '../files/place.js';
import { placeOfRead, save, saveAll, whyNotSaved } from '../files/save.js';
import { refuseLossy, removeFile } from '../files/temporary.js';
import type { Destination, Document, FolderFile, Outcome, Prepared } from './command.js';
import { encoded } from './encoded.js';
import { type Disk, STDIN } from './load.js';
import { type Output, TERMINAL } from './print.js';
import { writtenShown } from './progress.js';
import { say } from './say.js';

/** Writes what a command made to where it goes, says what it says, and gives its status. */
export function deliver(
  { json, destination, readAs }: Prepared,
  planned: Outcome,
  disk: Disk,
  machine: Machine,
  output: Output = TERMINAL,
): number {
  const { document: made, rewrites, cautions = [] } = planned;
  const isOffset = readAs.view !== undefined && (readAs.word === undefined || readAs.view.offset !== 0);
  if (isOffset && !disk.hasReadBinary() && made?.form !== BINARY)
    throw new Failure(
      phrase('"--offset" is for raw bytes, and none were read. Leave it out, or say "--from {0}".', BINARY),
    );
  const place = made === undefined ? undefined : placeFor(destination, made, disk, machine);
  const folder = planned.folder === undefined ? undefined : folderToFill(machine, destination.out ?? '.');
  output.beside(cautions);
  saveAll(machine, rewrites ?? []);
  if (folder !== undefined) fillFolder(machine, folder, (planned.folder ?? []).flatMap(filesOf));
  for (const one of planned.separate ?? []) saveAll(machine, [one]);
  const outcome = planned.sets === undefined ? planned : planned.sets.told(refusedSets(machine, planned.sets));
  const { document, notes = [], says = [] } = outcome;
  if (document !== undefined && place !== undefined) write(machine, disk, place, document);
  const isPrinted =
    document !== undefined && place === undefined && rewrites === undefined && planned.sets?.isWritten !== true;
  const ofForm =
    document === undefined ? [] : place === undefined ? headerNotes(document) : formNotes(document, place, disk);
  output.beside([...ofForm, ...notes]);
  if (json) output.text(`${JSON.stringify(toJson(outcome, isPrinted ? document : undefined), null, 2)}\n`);
  else if (isPrinted) printDocument(document, disk, output);
  else output.sentences(says);
  return outcome.status;
}

/** Saves each set, all of it or none, where they are to be written; says why of those that cannot be. */
function refusedSets(
  machine: Machine,
  { isWritten, of }: Pick<NonNullable<Outcome['sets']>, 'isWritten' | 'of'>,
): ReadonlyMap<number, Phrase> {
  const refused = new Map<number, Phrase>();
  for (const [at, rewrites] of of) {
    const why = isWritten ? refusalOf(() => saveAll(machine, rewrites)) : whyNotSaved(machine, rewrites);
    if (why !== undefined) refused.set(at, why);
  }
  return refused;
}

function toJson({ json, cautions }: Outcome, printed: Document | undefined): object {
  return {
    ...json,
    ...(cautions !== undefined && { cautions: cautions.map((said) => say(said)) }),
    ...(printed?.inJson === true && { text: textOf(printed) }),
  };
}

/** The file that a document goes to; undefined for standard output. */
function placeFor(
  { write: inPlace, out, force }: Destination,
  { of }: Document,
  disk: Disk,
  machine: Machine,
): Place | undefined {
  if (out === undefined) return inPlace && of !== undefined ? placeInStead(of, disk, machine) : undefined;
  const place = placeToWrite(machine, out);
  if (place.was === undefined) return place;
  if (of !== undefined && isAt(machine, of.file, place)) return placeInStead(of, disk, machine, out);
  if (disk.wasRead(place.path))
    throw new Failure(phrase('{0} is one of the files that this result was made from. Write another file.', out));
  if (disk.isNamed(place.path))
    throw new Failure(
      phrase('{0} is the profile or the backup of a file that this result was made from. Write another file.', out),
    );
  // Of raw bytes, the seal is in the file beside them.
  placeToWrite(machine, `${out}${HEADERS_BESIDE}`);
  if (!force) throw new Failure(phrase('{0} exists. Name another file, or replace it with --force.', out));
  return place;
}

/** A file of a folder, and its headers beside it where it has no place for them. */
function filesOf({ name, bytes, headers }: FolderFile): readonly NewFile[] {
  return headers === ''
    ? [{ name, bytes }]
    : [
        { name, bytes },
        { name: `${name}${HEADERS_BESIDE}`, bytes: Buffer.from(headers) },
      ];
}

/** Whether a file that was read is the one at a place; a pipe is at none. */
function isAt({ fs }: Machine, file: string, { path }: Place): boolean {
  try {
    return file !== STDIN && fs.realpathSync(file) === path;
  } catch {
    return false;
  }
}

/** The place of the file that a document was made from, by whatever name. */
function placeInStead({ file, before }: NonNullable<Document['of']>, disk: Disk, machine: Machine, name = file): Place {
  if (file === STDIN) throw new Failure(phrase('Standard input cannot be written to. Give --out FILE.'));
  return placeOfRead(machine, name, before, encoded(disk, file, before).bytes);
}

function write(machine: Machine, disk: Disk, place: Place, document: Document): void {
  const { content, of } = document;
  // What changes nothing leaves the file that it was made from as it is, with its time; another one may hold anything.
  if (of !== undefined && content === of.before && isAt(machine, of.file, place)) return;
  const { headers } = of === undefined || typeof content !== 'string' ? document : encoded(disk, of.file, content);
  // The bytes come last: while the headers are missing, nothing wrong can be said of them.
  const beside = headers === undefined ? undefined : newHeaders(machine, place, headers);
  try {
    save(machine, place, writtenShown(producerOf(document, disk)));
  } catch (error) {
    if (beside !== undefined) removeFile(machine, beside.path);
    throw error;
  }
}

/** Puts the headers of a binary into a file beside it; undefined where none is needed, or they are there. */
function newHeaders(machine: Machine, { name }: Place, headers: string): Place | undefined {
  const place = placeToWrite(machine, `${name}${HEADERS_BESIDE}`);
  if (place.was === undefined && headers === '') return undefined;
  if (place.was !== undefined) {
    if (linesOf(machine.fs.readFileSync(place.path, 'utf8')) === linesOf(headers)) return undefined;
    throw new Failure(phrase('{0} exists and holds other headers. Name another file.', place.name));
  }
  save(machine, place, (sink) => sink.text(headers));
  return place;
}

/** The lines of headers, however they end. */
function linesOf(headers: string): string {
  return headers
    .split(/\r\n?|\n/)
    .filter((line) => line !== '')
    .join('\n');
}

function producerOf({ content, of }: Document, disk: Disk): (sink: TextSink) => void {
  if (typeof content !== 'string') return content;
  const isCoded = of !== undefined && disk.codingOf(of.file) !== undefined;
  return (sink) => (isCoded ? sink.ascii(encoded(disk, of.file, content).bytes) : sink.text(content));
}

function printDocument(document: Document, disk: Disk, output: Output): void {
  const { form, of } = document;
  const isRaw = form === BINARY || (of !== undefined && disk.codingOf(of.file)?.isBinary === true);
  if (isRaw && output.isScreen)
    throw new Failure(phrase('The result is raw bytes, which are not shown on a terminal. Give --out FILE.'));
  output.by((sink) => {
    // A dump with bytes lost is no dump; a page may show that they could not be read.
    const checked = (text: string) => {
      if (form !== undefined) refuseLossy(of?.file ?? phrase('The source'), text);
      sink.text(text);
    };
    producerOf(document, disk)({ ...sink, text: checked });
  });
}

function textOf({ content }: Document): string {
  const texts: string[] = [];
  const ascii = (bytes: Uint8Array) => {
    texts.push(Buffer.from(bytes).toString('latin1'));
  };
  if (typeof content === 'string') return content;
  content({ ascii, text: (text) => texts.push(text) });
  return texts.join('');
}

/** Headers that have no place in what is printed. */
function headerNotes({ headers = '' }: Document): readonly Phrase[] {
  if (headers === '') return [];
  return [
    phrase(
      'This form has no place for headers, so they are left out here; with --out FILE they go into FILE{0}.',
      HEADERS_BESIDE,
    ),
  ];
}

/** A dump under a name that promises another form is written, and told. */
function formNotes({ form, of }: Document, { name }: Place, disk: Disk): readonly Phrase[] {
  const made = of !== undefined && disk.codingOf(of.file)?.isBinary === true ? BINARY : form;
  if (made === undefined || (made !== BINARY && formOf(made) === undefined) || !isDumpName(name)) return [];
  const promised = notationOf(name, '').id;
  if (promised === made) return [];
  const contained = made === BINARY ? phrase('raw bytes') : made;
  return [phrase('{0}: its name promises {1}, and what it contains is {2}.', name, promised, contained)];
}
