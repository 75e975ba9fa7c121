import { type Phrase, phrase } from '../base/phrase.js';
import { type Result, refuse } from '../base/result.js';
import { isImage } from '../format/notationOf.js';
import { leavesDoubt } from '../image/imageProblems.js';
import { rangeInHex } from '../profile/places.js';
import { sumName } from '../profile/sumName.js';
import type { Dump } from './dump.js';
import { doubledFile, headersOf, repeatedHeaders, whyDoubled } from './headers.js';
import { calledLine, lineCalled } from './lineName.js';
import { unclearUse, whyWrongUse } from './useHeader.js';
import { isWrongWord, whyWrongWord } from './wordHeader.js';

/** Something of a dump that could not be read, and the row that shows it; of what is missing, there is none. */
export interface Unread {
  readonly what:
    | 'records'
    | 'header'
    | 'row'
    | 'text'
    | 'repeated'
    | 'image'
    | 'length'
    | 'label'
    | 'line'
    | 'address'
    | 'total';
  readonly row: number | undefined;
  readonly why: Phrase;
}

/**
 * What of a dump could not be read, one sentence for each kind; none where it was read whole. Only two dumps that are
 * whole can be the same.
 */
export function whyNotWhole(dump: Dump): readonly Unread[] {
  if (!holdsRecords(dump))
    return [{ what: 'records', row: undefined, why: phrase('it holds no data that can be read.') }];
  const { layout, invalidRows, wrongLengths, totals } = dump;
  const name = (row: number) => lineCalled(dump, row);
  const found: Unread[] = [];
  const [repeated] = repeatedHeaders(dump);
  if (repeated !== undefined)
    add('header', repeated.row, phrase('"@{0}" is given twice, with different values.', repeated.header.name));
  const doubled = doubledFile(dump);
  if (doubled !== undefined) add('header', doubled.row, whyDoubled(doubled));
  const word = headersOf(dump).find(({ header }) => isWrongWord(header));
  if (word !== undefined) add('header', word.row, phrase('row {0}: {1}', word.row + 1, whyWrongWord(word.header)));
  const use = unclearUse(dump);
  if (use !== undefined) add('header', use.row, phrase('row {0}: {1}', use.row + 1, whyWrongUse(use.header)));
  const [invalid] = invalidRows;
  if (invalid !== undefined)
    add('row', invalid, phrase('row {0} cannot be read ({1} in all).', invalid + 1, invalidRows.length));
  const [twin] = layout.repeated;
  if (twin !== undefined)
    add('repeated', twin, phrase('line {0} is in it twice ({1} in all).', name(twin), layout.repeated.length));
  const doubt = layout.imageProblems.find(leavesDoubt);
  if (doubt !== undefined) add('image', doubt.row, phrase('row {0}: {1}', doubt.row + 1, doubt.message));
  const [length] = wrongLengths;
  if (length !== undefined)
    add('length', length, phrase('line {0} is too long or too short ({1} in all).', name(length), wrongLengths.length));
  // Of lines, one that the profile does not know is read all the same; of an image, it is not known where its bytes belong.
  const [unknown] = layout.kind === 'image' ? layout.unknown : [];
  if (unknown !== undefined)
    add(
      'label',
      unknown,
      phrase('the label of row {0} is no address ({1} in all).', unknown + 1, layout.unknown.length),
    );
  const [missing] = layout.missing;
  if (missing !== undefined)
    add(
      'line',
      undefined,
      phrase('line {0} is missing ({1} in all).', calledLine(dump, missing), layout.missing.length),
    );
  const [gap] = layout.gaps;
  if (gap !== undefined)
    add('address', gap.row, phrase('address {0} is missing (gaps in all: {1}).', rangeInHex(gap), layout.gaps.length));
  const total = totals.find(({ stored }) => stored === undefined);
  if (total !== undefined) add('total', undefined, phrase('the {0} is missing.', sumName(total.total)));
  return found;

  function add(what: Unread['what'], row: number | undefined, why: Phrase): void {
    found.push({ what, row, why });
  }
}

/** A dump that was read from a file and holds records; or why it cannot be compared with anything. */
export function withRecords(name: string, read: Result<Dump>): Result<Dump> {
  if (!read.ok) return refuse(phrase('{0} cannot be read: {1}', name, read.why));
  if (holdsRecords(read.value)) return read;
  return refuse(phrase('{0} is no dump: not one line of it is a record.', name));
}

/** Whether at least one record of a dump was read; of an image, one with data. */
export function holdsRecords({ rows, notation, layout }: Pick<Dump, 'rows' | 'notation' | 'layout'>): boolean {
  // Of an image that was read in one pass, only some rows are at hand; what it holds shows in its problems.
  return isImage(notation)
    ? !layout.imageProblems.some(({ code }) => code === 'no-data' || code === 'text-unreadable')
    : rows.some(({ kind }) => kind === 'record');
}
