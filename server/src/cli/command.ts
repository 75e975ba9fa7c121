import { phrase } from '../../../shared-core/src/index.js';
import { Failure } from './failure.js';

/** What a command is called with, after the command line has been taken apart. */
export interface Call {
  readonly files: readonly string[];
  /** Files named after `--with` and `--without`. */
  readonly groups: { readonly with: readonly string[]; readonly without: readonly string[] };
  readonly profile: string | undefined;
  readonly json: boolean;
  readonly write: boolean;
  readonly out: string | undefined;
  /** Equipment whose name in the headers of dumps says which group they belong to. */
  readonly tag: string | undefined;
  /** A dump to plan trials on. */
  readonly trials: string | undefined;
  /** What an option that was found is to be called in the profile. */
  readonly add: string | undefined;
  readonly balance: string | undefined;
  readonly retotal: boolean;
  readonly lines: boolean;
  readonly to: string | undefined;
  readonly width: string | undefined;
  readonly retrofit: string | undefined;
}

/** What a command says and how it ends: 0 good, 1 problems found or a difference, 2 something could not be read. */
export interface Outcome {
  readonly status: 0 | 1 | 2;
  /** Text for a person; printed unless JSON is asked for. */
  readonly text: string;
  readonly json: unknown;
  /** Lines for the person at the terminal, beside the answer. */
  readonly notes?: readonly string[];
}

export function onlyFile(files: readonly string[]): string {
  const [file, ...others] = files;
  if (file === undefined || others.length > 0) throw new Failure(phrase('Name one file.'));
  return file;
}
