import type { Phrase } from '../../../shared-core/src/base/index.js';
import type { Label } from '../../../shared-core/src/format/index.js';

/** Something wrong in a file; rows and columns are counted from 0, columns in UTF-16 units, the end exclusive. */
export interface Found {
  /** The file that it is in, where that is the one beside the dump with its headers. */
  readonly file?: string;
  readonly code: string;
  readonly severity: 'error' | 'warning' | 'information';
  readonly message: Phrase;
  readonly label?: Label | undefined;
  readonly row: number;
  readonly start: number;
  /** The row of the end, where that is another one. */
  readonly endRow?: number;
  readonly end: number;
  readonly expected?: string | undefined;
  readonly found?: string | undefined;
}
