import { digitsOf } from '../../base/hex.js';
import { bytesOf } from '../../format/row.js';
import type { Dump } from '../../model/dump.js';

type Bytes = readonly (number | undefined)[];

/**
 * Bytes of a line for a person who enters them by hand: in one width, in the groups of the line as it is
 * written in the dump, or pair by pair where it has none. Digits that differ from the other version are set off.
 * Markdown inside `<code>`.
 */
export function lineText({ rows, notation, layout }: Dump, row: number, bytes: Bytes, other: Bytes): string {
  const record = rows[row];
  if (record?.kind !== 'record') return '';
  const places = notation.digitPlaces(record);
  const isGrouped = /\s/.test(record.text.slice(places[0], places.at(-1)));
  const parts = bytes.flatMap((value, byte) => {
    const isTight = isGrouped && places[2 * byte] === (places[2 * byte - 1] as number) + 1;
    const gap = byte === 0 || isTight ? '' : byte % UNBROKEN === 0 ? ' ' : NO_BREAK;
    const digits = [...digitsOf(value, '--')].map((digit, i) =>
      digitsOf(other[byte], '--')[i] === digit ? digit : `**${digit}**`,
    );
    return [byte === layout.dataCount[row] && byte > 0 ? BEFORE_SUM : gap, ...digits];
  });
  // Digits set off side by side are set off as one.
  return `<code>${parts.join('').replaceAll('****', '')}</code>`;
}

/** The bytes of a row; none where it is no record that can be read. */
export function bytesOfRow({ rows }: Dump, row: number): readonly number[] {
  const record = rows[row];
  return record?.kind === 'record' ? [...bytesOf(record)] : [];
}

/** Bytes that stay together where a line is too long for its column. */
const UNBROKEN = 8;

/** A blank that no line breaks at; dump text takes it for a blank as well. */
const NO_BREAK = '\u00a0';

/** What parts the sum from the data: a bar that means nothing to a Markdown table. */
const BEFORE_SUM = `${NO_BREAK}│${NO_BREAK}`;
