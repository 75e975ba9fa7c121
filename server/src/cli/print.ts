import { fstatSync } from 'node:fs';
import { isatty } from 'node:tty';
import { type Phrase, phrase, type TextSink } from '../../../shared-core/src/base/index.js';
import { codeOf, Failure, reasonOf } from '../files/failure.js';
import { writeAll } from '../files/writeAll.js';
import { escapedText, sayOnTerminal } from './say.js';

/** Where a command says what it says. */
export interface Output {
  /** Whether what is said is shown on a screen, which raw bytes would upset. */
  readonly isScreen: boolean;
  readonly sentences: (sentences: readonly Phrase[]) => void;
  /** A text that is given in pieces. */
  readonly by: (produce: (sink: TextSink) => void) => void;
  readonly text: (text: string) => void;
  /** Sentences beside the answer. */
  readonly beside: (sentences: readonly Phrase[]) => void;
}

/** Thrown where whoever read standard output has gone: there is nobody left to tell anything. */
export class OutputClosed extends Error {}

const STDOUT = 1;
const STDERR = 2;

/** Writes sentences to standard output, each on a line of its own. */
function print(sentences: readonly Phrase[]): void {
  printText(sentences.map((said) => `${sayOnTerminal(said)}\n`).join(''));
}

/** Writes a text that is given in pieces to standard output; a terminal gets it without control characters. */
function printBy(produce: (sink: TextSink) => void): void {
  const text = isTerminal(STDOUT) ? (piece: string) => printText(escapedText(piece)) : printText;
  produce({ text, ascii: (bytes) => toStdout(bytes) });
}

/** Writes a text to standard output as it is. */
export function printText(text: string): void {
  if (text !== '') toStdout(Buffer.from(text));
}

/** Writes sentences beside the answer. Where nobody hears them the answer is the same. */
export function printBeside(sentences: readonly Phrase[]): void {
  for (const said of sentences) besideText(`${sayOnTerminal(said)}\n`);
}

/** Writes a text beside the answer as it is. */
export function besideText(text: string): void {
  try {
    writeAll(STDERR, Buffer.from(text));
  } catch {
    // There is no further place where this could be told.
  }
}

/** Whether a handle is a terminal. What is no device is none, and what Node.js asks with need not be loaded for it. */
export function isTerminal(handle: number): boolean {
  return mayBeTerminal(handle) && isatty(handle);
}

function mayBeTerminal(handle: number): boolean {
  try {
    return process.platform === 'win32' || fstatSync(handle).isCharacterDevice();
  } catch {
    return false;
  }
}

function toStdout(bytes: Uint8Array): void {
  try {
    // The console of Windows takes UTF-8 only by way of the stream.
    if (process.platform === 'win32' && isTerminal(STDOUT)) process.stdout.write(bytes);
    else writeAll(STDOUT, bytes);
  } catch (error) {
    if (codeOf(error) === 'EPIPE' || codeOf(error) === 'EOF') throw new OutputClosed();
    throw new Failure(phrase('The output cannot be written: {0}.', reasonOf(error)));
  }
}

/** Standard output, and standard error beside it. */
export const TERMINAL: Output = {
  isScreen: isTerminal(STDOUT),
  sentences: print,
  by: printBy,
  text: printText,
  beside: printBeside,
};
