import {
  closeSync,
  fchmodSync,
  fsyncSync,
  openSync,
  readFileSync,
  realpathSync,
  renameSync,
  rmSync,
  statSync,
  writeSync,
} from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { phrase, type TextSink } from '../../../shared-core/src/index.js';
import { Failure } from './failure.js';

/** Standard input, as a file name. */
export const STDIN = '-';

/** The text of a file. A byte-order mark is kept, as the text is written back as it was found. */
export function readText(file: string): string {
  try {
    return readFileSync(file === STDIN ? 0 : file, 'utf8');
  } catch (error) {
    throw new Failure(phrase('{0} cannot be read: {1}', file, reasonOf(error)));
  }
}

/** The text of a file, or undefined where there is none. */
export function readTextIfThere(file: string): string | undefined {
  try {
    return readFileSync(file, 'utf8');
  } catch {
    return undefined;
  }
}

/** Writes through a temporary file beside the target, so that the target is whole at every moment. */
export function writeWhole(file: string, text: string): void {
  refuseLossy(file, text);
  writeWholeBy(file, ({ text: write }) => write(text));
}

/** What was no UTF-8 was read as this character, and would be written as it: the bytes that stood there would be lost. */
const UNREADABLE = '\ufffd';

function refuseLossy(file: string, text: string): void {
  const at = text.indexOf(UNREADABLE);
  if (at < 0) return;
  const row = text.slice(0, at).split('\n').length;
  throw new Failure(
    phrase(
      '{0}: row {1} holds bytes that are no UTF-8 text, and writing would lose them. Save it as UTF-8 first.',
      file,
      row,
    ),
  );
}

/** The same for a text that is given in pieces. */
export function writeWholeBy(file: string, produce: (sink: TextSink) => void): void {
  const temporary = writeBeside(file, produce);
  takePlaceOf(file, temporary);
}

/** A file to be written, and the text that it had when it was read. */
export interface Rewrite {
  readonly file: string;
  readonly before: string;
  readonly text: string;
}

/**
 * Writes several files, all or none: each beside its target first, and only when all are there do they take the targets'
 * places. None is written where one was changed since it was read.
 */
export function writeAllWhole(rewrites: readonly Rewrite[]): void {
  const written: { readonly file: string; readonly temporary: string }[] = [];
  const taken: Rewrite[] = [];
  try {
    for (const { file, text } of rewrites) refuseLossy(file, text);
    for (const { file, text } of rewrites)
      written.push({ file, temporary: writeBeside(file, (sink) => sink.text(text), written.length) });
    for (const { file, before } of rewrites) {
      if (readTextIfThere(file) !== before)
        throw new Failure(phrase('{0} has changed since it was read. Nothing was changed in any module.', file));
    }
    for (const [index, { file, temporary }] of written.entries()) {
      takePlaceOf(file, temporary);
      taken.push(rewrites[index] as Rewrite);
    }
  } catch (error) {
    for (const { temporary } of written) rmSync(temporary, { force: true });
    for (const { file, before } of taken) writeWhole(file, before);
    throw error;
  }
}

/** Writes a temporary file beside a target, flushed, and says where it is. */
function writeBeside(file: string, produce: (sink: TextSink) => void, index = 0): string {
  const target = placeOf(file);
  const mode = statSync(target, { throwIfNoEntry: false })?.mode;
  const temporary = join(dirname(target), `.${process.pid}-${index}.countersum.tmp`);
  try {
    const handle = openSync(temporary, 'wx');
    try {
      if (mode !== undefined) fchmodSync(handle, mode & 0o777);
      produce(sinkOf(handle));
      fsyncSync(handle);
    } finally {
      closeSync(handle);
    }
    return temporary;
  } catch (error) {
    rmSync(temporary, { force: true });
    throw new Failure(phrase('{0} cannot be written: {1}', file, reasonOf(error)));
  }
}

/** The file itself where its name is a link to it. */
function placeOf(file: string): string {
  try {
    return realpathSync(file);
  } catch {
    return resolve(file);
  }
}

function takePlaceOf(file: string, temporary: string): void {
  try {
    renameSync(temporary, placeOf(file));
  } catch (error) {
    rmSync(temporary, { force: true });
    throw new Failure(phrase('{0} cannot be written: {1}', file, reasonOf(error)));
  }
}

/** Writes a text that is given in pieces to standard output. */
export function writeToStdout(produce: (sink: TextSink) => void): void {
  produce(sinkOf(process.stdout.fd));
}

function sinkOf(handle: number): TextSink {
  return { ascii: (bytes) => writeAll(handle, bytes), text: (text) => writeAll(handle, Buffer.from(text)) };
}

/** A pipe takes as much as it has room for; until there is some, a millisecond is waited. */
function writeAll(handle: number, bytes: Uint8Array): void {
  for (let at = 0; at < bytes.length; ) {
    try {
      at += writeSync(handle, bytes, at);
    } catch (error) {
      if ((error as { code?: string }).code !== 'EAGAIN') throw error;
      Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 1);
    }
  }
}

/** A text that is given in pieces, as one. */
export function textBy(produce: (sink: TextSink) => void): string {
  const texts: string[] = [];
  const ascii = ({ buffer, byteOffset, length }: Uint8Array) => {
    texts.push(Buffer.from(buffer, byteOffset, length).toString('latin1'));
  };
  produce({ ascii, text: (text) => texts.push(text) });
  return texts.join('');
}

function reasonOf(error: unknown): string {
  const code = (error as { code?: string }).code;
  const known: Record<string, string> = {
    ENOENT: 'no such file',
    EACCES: 'not allowed',
    EISDIR: 'it is a folder',
    EROFS: 'read-only disk',
  };
  return known[code ?? ''] ?? code ?? String(error);
}
