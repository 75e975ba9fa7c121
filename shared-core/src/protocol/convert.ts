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
