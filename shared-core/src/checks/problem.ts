import type { Phrase } from '../base/phrase.js';
import type { RowSpan } from '../base/span.js';
import type { Label } from '../format/row.js';
import type { ImageProblemCode } from '../image/imageRecords.js';

export type Severity = 'error' | 'warning' | 'information';

/** Every kind of problem a dump can have; users and scripts rely on these names. */
export type ProblemCode =
  | 'not-hex'
  | 'odd-digits'
  | 'line-length'
  | 'line-missing'
  | 'line-repeated'
  | 'line-order'
  | 'line-unknown'
  | 'total-missing'
  | 'header-unknown'
  | 'record-type'
  | 'record-length'
  | ImageProblemCode
  | 'line-sum'
  | 'total-sum'
  | 'no-profile'
  | 'profile-unreadable'
  | 'profile-invalid'
  | 'option-value'
  | 'option-range'
  | 'option-needs'
  | 'backup-unreadable'
  | 'backup-invalid'
  | 'backup-other-vehicle'
  | 'locked-changed'
  | 'seal-broken'
  | 'vin-characters'
  | 'vin-check-digit'
  | 'more-problems';

/** One thing that is wrong with a dump, at the smallest stretch of text that is wrong. */
export interface Problem extends RowSpan {
  readonly code: ProblemCode;
  readonly severity: Severity;
  readonly message: Phrase;
  /** Label of the record, where the problem lies in one. */
  readonly label?: Label;
  /** Of sum problems, in upper-case hex: what the bytes make, and what is stored. */
  readonly expected?: string;
  readonly found?: string;
  /** Text that was probably meant at the place. */
  readonly meant?: string;
  /** The notation that the whole file is written in, where its name promises another. */
  readonly written?: 'intel-hex' | 's-record';
  /** Another place that the problem is about: of the same dump, or of the file named. */
  readonly related?: { readonly span: RowSpan; readonly message: Phrase; readonly file?: string };
}
