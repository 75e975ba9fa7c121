import { phrase } from './phrase.js';
import { done, type Result, refuse } from './result.js';

/** Rows as CSV (RFC 4180). A cell that a spreadsheet would take for a formula begins with an apostrophe. */
export function csvText(rows: readonly (readonly string[])[]): string {
  return rows.map((row) => `${row.map(cellText).join(',')}\r\n`).join('');
}

function cellText(cell: string): string {
  const safe = /^['=+\-@\t\r]/.test(cell) ? `'${cell}` : cell;
  return /[",;\t\r\n]/.test(safe) || safe !== safe.trim() ? `"${safe.replaceAll('"', '""')}"` : safe;
}

/**
 * The rows of a CSV as spreadsheets write them: with or without a byte order mark, any line ends, and commas, semicolons
 * or tabs between the cells, whichever the first row has. Lines with nothing in them are no rows.
 */
export function readCsv(given: string): Result<readonly (readonly string[])[]> {
  const text = given.replace(/^\uFEFF/, '');
  const head = text.replace(/"(?:[^"]|"")*"/g, '').split(/[\r\n]/, 1)[0] ?? '';
  const separator = [',', ';', '\t'].find((one) => head.includes(one)) ?? ',';
  const rows: string[][] = [];
  let row: string[] = [];
  let at = 0;
  while (at < text.length) {
    const quoted = text[at] === '"';
    let cell = '';
    if (quoted) {
      const [whole, inside] = quotedFrom(text, at);
      if (whole === undefined || inside === undefined)
        return refuse(phrase('Row {0}: a quotation mark is not closed.', rows.length + 1));
      cell = inside.replaceAll('""', '"');
      at += whole.length;
    } else {
      const start = at;
      while (at < text.length && text[at] !== separator && text[at] !== '\r' && text[at] !== '\n') at++;
      cell = text.slice(start, at);
      if (cell.includes('"'))
        return refuse(phrase('Row {0}: a quotation mark is inside a cell without any around it.', rows.length + 1));
    }
    row.push(cell.replace(/^'/, ''));
    const next = text[at];
    if (next === separator) {
      at++;
      if (at === text.length) row.push('');
      continue;
    }
    if (next !== undefined && next !== '\r' && next !== '\n')
      return refuse(phrase('Row {0}: text follows a closed quotation mark.', rows.length + 1));
    if (next === '\r' && text[at + 1] === '\n') at++;
    at++;
    rows.push(row);
    row = [];
  }
  if (row.length > 0) rows.push(row);
  return done(rows.filter((one) => one.some((cell) => cell !== '')));
}

/** The quoted cell that begins at a place, with its marks and without. */
function quotedFrom(text: string, at: number): readonly string[] {
  const quoted = /"((?:[^"]|"")*)"/y;
  quoted.lastIndex = at;
  return quoted.exec(text) ?? [];
}
