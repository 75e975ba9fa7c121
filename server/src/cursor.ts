import type { RowSpan } from '../../shared-core/src/base/index.js';
import {
  byteAtColumn,
  bytesSpan,
  type Cell,
  cellKey,
  type Dump,
  optionSpan,
  optionsAt,
  readOption,
} from '../../shared-core/src/model/index.js';
import type { Option } from '../../shared-core/src/profile/index.js';
import type { Position } from './lsp.js';

/** The byte at or right before which a cursor stands. */
export function cellAtCursor(dump: Dump, { line, character }: Position): Cell | undefined {
  const record = dump.rows[line];
  const byte = record?.kind === 'record' ? byteAtColumn(dump, record, character) : undefined;
  return byte === undefined ? undefined : { row: line, byte };
}

/** The options of the digit that a cursor stands on; where that digit holds none, those of its byte. */
export function optionsAtCursor(dump: Dump, position: Position): readonly Option[] {
  const cell = cellAtCursor(dump, position);
  const ofByte = cell === undefined ? [] : optionsAt(dump, cell);
  const ofDigit = ofByte.filter((option) => {
    const span = spanOfOption(dump, option);
    return span !== undefined && position.character >= span.start && position.character < span.end;
  });
  return ofDigit.length > 0 ? ofDigit : ofByte;
}

/** Where an option stands in a dump; undefined where the dump lacks it. */
export function spanOfOption(dump: Dump, option: Option): RowSpan | undefined {
  const reading = readOption(dump, option);
  return reading && optionSpan(dump, reading);
}

/** Index of the total that is stored in a byte, or -1. */
export function totalAt(dump: Dump, cell: Cell): number {
  return dump.totals.findIndex(({ stored }) => stored?.some((other) => cellKey(other) === cellKey(cell)));
}

/** Where the stored value of a total stands; undefined where the dump lacks it, or it lies in more than one row. */
export function spanOfTotal(dump: Dump, index: number): RowSpan | undefined {
  const stored = dump.totals[index]?.stored;
  const [first] = stored ?? [];
  return first !== undefined && stored?.every(({ row }) => row === first.row)
    ? bytesSpan(dump, first.row, first.byte, stored.length)
    : undefined;
}
