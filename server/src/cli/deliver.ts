import { formOf, isDumpName, notationOf, type Phrase, phrase, type TextSink } from '../../../shared-core/src/index.js';
import { Failure } from '../files/failure.js';
import type { Machine } from '../files/machine.js';
import { type Place, placeToWrite } from '../files/place.js';
import { placeOfRead, save, saveAll } from '../files/save.js';
import { refuseLossy } from '../files/temporary.js';
import type { Destination, Document, Outcome, Prepared } from './command.js';
import { type Disk, STDIN } from './load.js';
import { type Output, TERMINAL } from './print.js';
import { say } from './say.js';

/** Writes what a command made to where it goes, says what it says, and gives its status. */
export function deliver(
  { json, destination }: Prepared,
  outcome: Outcome,
  disk: Disk,
  machine: Machine,
  output: Output = TERMINAL,
): number {
  const { document, rewrites, cautions = [], notes = [], says = [] } = outcome;
  const place = document === undefined ? undefined : placeFor(destination, document, disk, machine);
  output.beside(cautions);
  saveAll(machine, rewrites ?? []);
  if (document !== undefined && place !== undefined) write(machine, place, document);
  output.beside([...(document === undefined || place === undefined ? [] : formNotes(document, place)), ...notes]);
  const isPrinted = document !== undefined && place === undefined && rewrites === undefined;
  if (json) output.text(`${JSON.stringify(toJson(outcome, isPrinted ? document : undefined), null, 2)}\n`);
  else if (isPrinted) printDocument(document, output);
  else output.sentences(says);
  return outcome.status;
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
  if (out === undefined) return inPlace && of !== undefined ? placeInStead(of, machine) : undefined;
  const place = placeToWrite(machine.fs, out);
  if (place.was === undefined) return place;
  if (of !== undefined && isAt(machine, of.file, place)) return placeInStead({ ...of, file: out }, machine);
  if (disk.wasRead(place.path))
    throw new Failure(phrase('{0} is one of the files that this result was made from. Write another file.', out));
  if (disk.isNamed(place.path))
    throw new Failure(
      phrase('{0} is the profile or the backup of a file that this result was made from. Write another file.', out),
    );
  if (!force) throw new Failure(phrase('{0} exists. Name another file, or replace it with --force.', out));
  return place;
}

/** Whether a file that was read is the one at a place; a pipe is at none. */
function isAt({ fs }: Machine, file: string, { path }: Place): boolean {
  try {
    return file !== STDIN && fs.realpathSync(file) === path;
  } catch {
    return false;
  }
}

/** The place of the file that a document was made from. */
function placeInStead({ file, before }: NonNullable<Document['of']>, machine: Machine): Place {
  if (file === STDIN) throw new Failure(phrase('Standard input cannot be written to. Give --out FILE.'));
  return placeOfRead(machine, file, before);
}

function write(machine: Machine, place: Place, document: Document): void {
  const { content, of } = document;
  // What changes nothing leaves the file as it is, with its time.
  if (typeof content === 'string' && place.was !== undefined && content === of?.before) return;
  save(machine, place, producerOf(content));
}

function producerOf(content: Document['content']): (sink: TextSink) => void {
  return typeof content === 'string' ? (sink) => sink.text(content) : content;
}

function printDocument({ content, form, of }: Document, output: Output): void {
  output.by((sink) => {
    // A dump with bytes lost is no dump; a page may show that they could not be read.
    const checked = (text: string) => {
      if (form !== undefined) refuseLossy(of?.file ?? phrase('The source'), text);
      sink.text(text);
    };
    producerOf(content)({ ...sink, text: checked });
  });
}

function textOf({ content }: Document): string {
  const texts: string[] = [];
  const ascii = (bytes: Uint8Array) => {
    texts.push(Buffer.from(bytes).toString('latin1'));
  };
  producerOf(content)({ ascii, text: (text) => texts.push(text) });
  return texts.join('');
}

/** A dump under a name that promises another form is written, and told. */
function formNotes({ form }: Document, { name }: Place): readonly Phrase[] {
  if (form === undefined || formOf(form) === undefined || !isDumpName(name)) return [];
  const promised = notationOf(name, '').id;
  if (promised === form) return [];
  return [phrase('{0}: its name promises {1}, and what it contains is {2}.', name, promised, form)];
}
