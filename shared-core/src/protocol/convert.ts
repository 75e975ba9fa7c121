import type { FormId } from '../format/forms.js';
import type { DumpParams } from './common.js';

/** Client to server: the bytes of a dump in another form. */
export const CONVERT = 'countersum/convert';
export interface ConvertParams extends DumpParams {
  readonly to: FormId;
}
export interface ConvertResult {
  readonly text: string;
  /** What the other notation has no place for. */
  readonly lost: readonly string[];
}

/** Client to server: a dump as the program that loads it into the module knows it, without headers. */
export const TEXT_TO_LOAD = 'countersum/textToLoad';
export interface TextToLoadResult {
  /** The name that the file is to have. */
  readonly name: string;
  /** The bytes of the file. */
  readonly base64: string;
}
