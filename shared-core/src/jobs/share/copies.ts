import type { Phrase } from '../../base/phrase.js';
import type { Mask } from './masks.js';

/** A profile by which dumps that are shared are read, or one that it names. */
export interface ProfileToShare {
  readonly file: string;
  /** Without its folder. */
  readonly name: string;
  readonly text: string;
  /** The files that it names, by the paths that it has for them. */
  readonly names: ReadonlyMap<string, string>;
}

/** A copy with nothing personal in it that is known. */
export interface SharedCopy {
  readonly file: string;
  /** What it is called, without a folder. */
  readonly name: string;
  readonly text: string;
  /** The lines of the file beside it, where its form has no place for headers; empty where there is none. */
  readonly headers: string;
  /** What was masked or left out. */
  readonly masked: readonly Phrase[];
  /** The values that were in it and are no longer. */
  readonly found: readonly Mask[];
  /** What else a person must know of it. */
  readonly says: readonly Phrase[];
  /** What looks personal and was left. */
  readonly left: readonly Phrase[];
  /** What became of its seal; undefined where it has none. */
  readonly seal: 'kept' | 'anew' | 'dropped' | undefined;
}
