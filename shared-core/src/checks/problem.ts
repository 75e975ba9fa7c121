import type { Phrase } from '../base/phrase.js';
import type { RowSpan } from '../base/span.js';
import type { Label } from '../format/row.js';
import { DIAGNOSTICS, type ProblemCode, type Severity } from './diagnostics.js';

/** One thing that is wrong with a dump, at the smallest stretch of text that is wrong. */
export interface Problem extends RowSpan, Facts {
  readonly code: ProblemCode;
  readonly severity: Severity;
  readonly message: Phrase;
}

/** What only some problems have. */
interface Facts {
  /** Label of the record, where the problem lies in one. */
  readonly label?: Label;
  /** Of sum problems, in upper-case hex: what the bytes make, and what is stored, as they are written in the file. */
  readonly expected?: string;
  readonly found?: string;
  /** Text that was probably meant at the place. */
  readonly meant?: string;
  /** The id of the form that the whole file is written in, where its name promises another. */
  readonly written?: string;
  /** Another place that the problem is about: of the same dump, or of the file named. */
  readonly related?: { readonly span: RowSpan; readonly message: Phrase; readonly file?: string };
}

/** A problem of a code at a place; its severity is that of all problems of the code. */
export function problem(code: ProblemCode, { row, start, end }: RowSpan, message: Phrase, facts: Facts = {}): Problem {
  return { row, start, end, code, severity: DIAGNOSTICS[code].severity, message, ...facts };
}
