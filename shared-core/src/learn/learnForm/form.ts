import { dumpText } from '../../format/dumpText.js';
import { FORMS } from '../../format/forms.js';
import type { Notation } from '../../format/notation.js';
import { notationOfText } from '../../format/notationOf.js';
import { compilePattern } from '../../format/pattern.js';
import type { Row } from '../../format/row.js';
import { readRows, splitLines } from '../../format/rows.js';
import { patternsOfLines } from './patternOfLines.js';

/** How a text is written: in a notation that is known, or by a pattern that was found in it. */
export interface LearnedForm {
  readonly notation: Notation;
  readonly pattern: string | undefined;
}

/**
 * Finds out how a text is written. A known notation is taken where most lines that are no comments are records of it;
 * else the lines themselves show which of their characters are label, data and filler. Undefined where there are no
 * lines with a number and hex digits.
 */
export function learnForm(text: string): LearnedForm | undefined {
  const known = [notationOfText(text), ...FORMS.filter(hasMarks)].find(
    (notation) => notation !== undefined && isWrittenIn(readRows(text, notation)),
  );
  const inHex = known === dumpText && hasHexLabels(readRows(text, dumpText));
  if (known !== undefined && !inHex) return { notation: known, pattern: undefined };
  for (const pattern of patternsOfLines(splitLines(text))) {
    const compiled = compilePattern(pattern, 'keep');
    if (compiled.ok && (!inHex || pattern.includes('{label:hex}'))) return { notation: compiled.value, pattern };
  }
  return known && { notation: known, pattern: undefined };
}

/** Whether rows of a form show by marks of their own what they are; digits alone may be numbers of lines. */
function hasMarks({ image }: Notation): boolean {
  return image === undefined || image.sum !== undefined;
}

/** Dump text takes bare digits for decimal: lines that go from 09 to 0A are numbered otherwise. */
function hasHexLabels(rows: readonly Row[]): boolean {
  return rows.some((row) => row.kind === 'record' && /^\d*[a-f][\da-f]*$/i.test(String(row.label)));
}

/** Are at least two lines records, and hardly any of the others neither comment nor header? */
function isWrittenIn(rows: readonly Row[]): boolean {
  const records = rows.filter(({ kind }) => kind === 'record').length;
  const broken = rows.filter(({ kind }) => kind === 'broken').length;
  const kept = rows.filter((row) => row.kind === 'comment' && !/^\s*[#;]/.test(row.text)).length;
  return records > 1 && records >= 4 * (broken + kept);
}
