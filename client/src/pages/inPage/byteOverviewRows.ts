import type { OverviewLine } from '../../../../shared-core/src/index.js';
import type { OverviewWords } from './byteOverviewMessages.js';

/** Which byte of a row can be reached by the tab key, and at which the cursor of the text stands; -1 for none. */
interface Marks {
  readonly active: number;
  readonly here: number;
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
export function fillRow(
  row: HTMLElement,
  line: OverviewLine,
  words: OverviewWords | undefined,
  { active, here }: Marks,
): void {
  const [name, ...cells] = [...row.children] as HTMLElement[];
  if (name) write(name, line.label);
  row.classList.toggle('broken', line.roles === '');
  const count = Math.max(1, line.roles.length);
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
    set(cell, 'aria-label', spoken(line, byte, digits, words));
    set(cell, 'tabindex', byte === active ? '0' : '-1');
    set(cell, 'aria-current', byte === here ? 'location' : 'false');
  });
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
function spoken(line: OverviewLine, byte: number, digits: string, words: OverviewWords | undefined): string {
  if (words === undefined) return digits;
  if (line.roles === '') return `${filled(words.line, line.label)}, ${words.unreadable}`;
  const sign = line.signs[byte];
  return [
    filled(words.cell, line.label, byte + 1, digits),
    words.roles[line.roles[byte] ?? 'd'],
    ...(sign === 'c' || sign === 'x' ? [words.changed] : []),
    ...(sign === 'w' || sign === 'x' ? [words.wrong] : []),
  ].join(', ');
}

function filled(pattern: string, ...parts: readonly (string | number)[]): string {
  return pattern.replace(/\{(\d)\}/g, (_, index) => String(parts[Number(index)]));
}
