import { say } from '../../shared-core/src/base/index.js';
import { type Notation, type Row, readRows } from '../../shared-core/src/format/index.js';
import { bytesOf, type RecordRow } from '../../shared-core/src/format/row.js';

/** All that a notation makes of a text, each line with what it was read as below it. */
export function shownRows(text: string, notation: Notation): string {
  return readRows(text, notation)
    .map(
      (row) =>
        `${visible(row.text)}\n${partsOf(row, notation)
          .map((part) => `    ${part}\n`)
          .join('')}`,
    )
    .join('');
}

function partsOf(row: Row, notation: Notation): readonly string[] {
  const { kind, problems } = row;
  const label = notation.labelSpan(row);
  return [
    kind === 'record' ? shownRecord(row, notation) : `${kind}${shownRest(row)}`,
    ...(label === undefined
      ? []
      : [`label ${label.start}-${label.end} ${visible(row.text.slice(label.start, label.end))}`]),
    ...problems.map(
      ({ code, start, end, meant, message }) =>
        `${start}-${end} ${code}${meant === undefined ? '' : ` (${meant} is meant)`}: ${visible(say(message))}`,
    ),
  ];
}

function shownRecord(row: RecordRow, notation: Notation): string {
  const bytes = Array.from(bytesOf(row), (byte) => byte.toString(16).padStart(2, '0')).join(' ');
  const characters = notation.characters?.(row);
  const beside = characters === undefined ? [] : Array.from({ length: row.count }, (_, i) => characters(i) ?? '-');
  return [
    `record ${JSON.stringify(row.label)} type ${row.type ?? '-'}: ${bytes}`,
    `digits ${ranges(notation.digitPlaces(row))}`,
    ...(characters === undefined ? [] : [`characters ${ranges(beside)}`]),
    ...(row.inDoubt === undefined ? [] : ['in doubt']),
  ].join(', ');
}

function shownRest(row: Row): string {
  if (row.kind === 'header') {
    const { name, value, nameSpan, valueSpan } = row;
    return ` ${name} ${nameSpan.start}-${nameSpan.end} = ${value} ${valueSpan.start}-${valueSpan.end}`;
  }
  if (row.kind === 'comment') return row.isPassed ? ' passed over' : '';
  if (row.kind !== 'broken') return '';
  const { label, head, foreign, isStray } = row;
  const parts = [
    ...(label === undefined ? [] : [JSON.stringify(label)]),
    ...(head === undefined ? [] : [`type ${head.type} of ${head.data}`]),
    ...(foreign === undefined ? [] : [`of ${foreign}`]),
    ...(isStray ? ['stray'] : []),
  ];
  return parts.map((part) => ` ${part}`).join('');
}

/** Places that follow each other as the first and the last of them. */
function ranges(places: readonly (number | string)[]): string {
  const runs: { first: number | string; last: number | string }[] = [];
  for (const place of places) {
    const run = runs.at(-1);
    if (typeof place === 'number' && typeof run?.last === 'number' && place === run.last + 1) run.last = place;
    else runs.push({ first: place, last: place });
  }
  return runs.map(({ first, last }) => (first === last ? String(first) : `${first}-${last}`)).join(' ');
}

/** A text with its line ends and other characters that are not seen. */
export function visible(text: string): string {
  return text
    .replaceAll('\r', '␍')
    .replaceAll('\n', '␊')
    .replaceAll('\t', '␉')
    .replaceAll('\0', '␀')
    .replaceAll('\ufeff', '‹mark›')
    .replaceAll('\u00a0', '‹blank›');
}
