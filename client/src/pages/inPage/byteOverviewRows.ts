import type { ByteOverviewResult, OverviewLine } from '../../../../shared-core/src/protocol/byteOverview.js';
import type { OverviewWords } from './byteOverviewMessages.js';

/** How a row is drawn: beside each other so many bytes, and which of them has a mark; -1 for none. */
export interface RowLook {
  readonly columns: number;
  /** The byte that can be reached by the tab key. */
  readonly active: number;
  /** The byte that the sheet beside is about. */
  readonly shown: number;
  /** The byte at the cursor of the text. */
  readonly here: number;
  readonly rows: ByteOverviewResult['rows'];
  readonly words: OverviewWords | undefined;
}

/** The row of a line, counted from 0; the first row of the grid holds the numbers of the bytes. */
export function newRow(at: number): HTMLElement {
  const row = document.createElement('div');
  row.className = 'row';
  row.setAttribute('role', 'row');
  row.setAttribute('aria-rowindex', String(at + 2));
  row.append(newCell('rowheader', 'name'));
  return row;
}

/** Shows a line in its row. Only what differs is written, so that an edit does not flicker. */
export function fillRow(row: HTMLElement, line: OverviewLine, look: RowLook): void {
  const [name, ...cells] = [...row.children] as HTMLElement[];
  const count = Math.max(1, line.roles.length);
  if (name) fillName(name, line.label, count, look.columns);
  row.classList.toggle('broken', line.roles === '');
  for (const extra of cells.splice(count)) extra.remove();
  while (cells.length < count) {
    const cell = newCell('gridcell', 'cell');
    row.append(cell);
    cells.push(cell);
  }
  cells.forEach((cell, byte) => {
    const digits = line.digits.slice(2 * byte, 2 * byte + 2) || '?';
    write(cell, digits);
    set(cell, 'data-role', line.roles[byte] ?? '');
    set(cell, 'data-sign', line.signs[byte] ?? 'w');
    set(cell, 'aria-label', spoken(line, byte, digits, look));
    set(cell, 'tabindex', byte === look.active ? '0' : '-1');
    set(cell, 'aria-selected', String(byte === look.shown));
    set(cell, 'aria-current', byte === look.here ? 'location' : 'false');
  });
}

/** The name of a line; where its bytes are below each other, each part says at which byte it goes on. */
function fillName(name: HTMLElement, label: string, count: number, columns: number): void {
  const parts = Array.from({ length: Math.ceil(count / columns) }, (_, i) => (i === 0 ? label : `+${i * columns}`));
  if ([...name.children].map(({ textContent }) => textContent).join() === parts.join()) return;
  name.replaceChildren(
    ...parts.map((text, i) => {
      const part = document.createElement('span');
      part.textContent = text;
      if (i > 0) part.setAttribute('aria-hidden', 'true');
      return part;
    }),
  );
}

function newCell(role: string, className: string): HTMLElement {
  const cell = document.createElement('span');
  cell.className = className;
  cell.setAttribute('role', role);
  return cell;
}

function write(element: HTMLElement, text: string): void {
  if (element.textContent !== text) element.textContent = text;
}

function set(element: HTMLElement, name: string, value: string): void {
  if (element.getAttribute(name) !== value) element.setAttribute(name, value);
}

/** What a screen reader says of a byte. */
function spoken(line: OverviewLine, byte: number, digits: string, { words, rows }: RowLook): string {
  if (words === undefined) return digits;
  if (line.roles === '') return `${filled(words.line, line.label)}, ${words.unreadable}`;
  const [role, sign] = [line.roles[byte] ?? 'd', line.signs[byte]];
  return [
    placed(line, byte, digits, rows, words),
    words.roles[role],
    ...(sign === 'c' || sign === 'x' ? [words.changed] : []),
    ...(sign === 'w' || sign === 'x' ? [words.wrong] : []),
  ].join(', ');
}

/** A byte with its place: at its address, or in its line. */
function placed(
  line: OverviewLine,
  byte: number,
  digits: string,
  rows: ByteOverviewResult['rows'],
  words: OverviewWords,
): string {
  if (rows === 'lines') return filled(words.cell, line.label, byte + 1, digits);
  if (line.address === undefined) return digits;
  const address = line.roles[byte] === 's' ? line.address : line.address + byte;
  return filled(words.addressed, address.toString(16).toUpperCase().padStart(8, '0'), digits);
}

function filled(pattern: string, ...parts: readonly (string | number)[]): string {
  return pattern.replace(/\{(\d)\}/g, (_, index) => String(parts[Number(index)]));
}
