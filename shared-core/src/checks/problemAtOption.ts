import type { Phrase } from '../base/phrase.js';
import type { Dump } from '../model/dump.js';
import { type OptionReading, optionSpan } from '../model/optionReading.js';
import { labelSpanOf } from '../model/spans.js';
import type { ProblemCode } from './diagnostics.js';
import { type Problem, problem } from './problem.js';

/** A problem of an option, at its bytes, or at its line where they have no place of their own. */
export function problemAtOption(dump: Dump, reading: OptionReading, code: ProblemCode, message: Phrase): Problem {
  const row = reading.cells[0]?.row ?? 0;
  const record = dump.rows[row];
  const label = record?.kind === 'record' ? { label: record.label } : {};
  return problem(code, optionSpan(dump, reading) ?? labelSpanOf(dump, row), message, label);
}
