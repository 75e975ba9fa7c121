import * as vscode from 'vscode';
import { type Html, html } from './html.js';
import { boxed } from './parts.js';

/** How a person looks at a table: words that each row must have, and the column by which the rows are sorted. */
export interface Look {
  readonly words: readonly string[];
  /** From 0; none at first. */
  readonly column: number | undefined;
  readonly down: boolean;
}

const FIRST_LOOK: Look = { words: [], column: undefined, down: false };

export interface LiveRow {
  /** All that it is found by. */
  readonly found: string;
  /** What it is sorted by in each column. */
  readonly keys: readonly string[];
  /** Of what it is found by, what is folded in it. */
  readonly folded?: string;
  readonly cells: Html;
}

/** A table that is searched and sorted; which of its rows are shown the extension says with each look. */
export interface LiveTable {
  readonly caption: string;
  /** What the search is for. */
  readonly search: string;
  readonly columns: readonly string[];
  readonly rows: readonly LiveRow[];
}

/** What a page is told: which of its rows it shows now, in which order; of these, which were found by what is folded in them. */
export interface ShownRows {
  readonly order: readonly number[];
  readonly unfold: readonly number[];
  readonly says: string;
}

/** More rows than these no page shows at once. */
const MOST_ROWS = 300;

export function shownRows({ rows }: Pick<LiveTable, 'rows'>, look: Look): ShownRows {
  const numbered = rows.map((row, number) => ({ row, number }));
  const found = numbered.filter(({ row }) => hasAll(row.found, look.words));
  const shown = sorted(found, look).slice(0, MOST_ROWS);
  const says =
    found.length === 0
      ? vscode.l10n.t('Nothing here has all of these words. Try fewer words, or other ones.')
      : shown.length < found.length
        ? vscode.l10n.t('Shown: {0} of {1}. Search for words to see the others.', shown.length, found.length)
        : vscode.l10n.t('Shown: {0} of {1}', shown.length, rows.length);
  const isInside = ({ row: { folded = '' } }: NumberedRow) => look.words.some((word) => folded.includes(word));
  return { order: shown.map(({ number }) => number), unfold: shown.filter(isInside).map(({ number }) => number), says };
}

interface NumberedRow {
  readonly row: LiveRow;
  readonly number: number;
}

/** Whether a text has all of some words, each anywhere in it. */
function hasAll(text: string, words: readonly string[]): boolean {
  return words.every((word) => text.includes(word));
}

/** A text as words are looked for in it. */
export function toFind(text: string): string {
  return text.toLowerCase();
}

function sorted(rows: readonly NumberedRow[], { column, down }: Look): readonly NumberedRow[] {
  if (column === undefined) return rows;
  const { compare } = new Intl.Collator(vscode.env.language, { numeric: true });
  const key = ({ row }: NumberedRow) => row.keys[column] ?? '';
  return [...rows].sort((a, b) => (down ? compare(key(b), key(a)) : compare(key(a), key(b))));
}

/** All rows are in the page from the start, so that nothing is made of texts there; those that are not shown are hidden. */
export function liveSection(table: LiveTable): Html {
  const { says } = shownRows(table, FIRST_LOOK);
  const heads = table.columns.map(
    (title) => html`<th scope="col" aria-sort="none"><button class="sort">${title}</button></th>`,
  );
  const rows = table.rows.map(({ cells }, number) => html`<tr${number < MOST_ROWS ? '' : html` hidden`}>${cells}</tr>`);
  return html`<p class="find"><label>${table.search} <input type="search"></label> <span class="muted" role="status">${says}</span></p>
${boxed(
  table.caption,
  html`<table class="live">
<caption class="unseen">${table.caption}</caption>
<thead><tr>${heads}</tr></thead>
<tbody>${rows}</tbody>
</table>`,
)}`;
}

/** What a page with such a table says: another look, or a button by its name. */
export function readMessage(message: unknown): { readonly look: Look } | { readonly press: string } | undefined {
  if (typeof message !== 'object' || message === null) return undefined;
  if ('press' in message) return { press: String(message.press) };
  if (!('words' in message) || !('column' in message) || !('down' in message)) return undefined;
  const { words, column, down } = message;
  return {
    look: {
      words: toFind(String(words)).split(/\s+/).filter(Boolean),
      column: Number.isSafeInteger(column) ? Number(column) : undefined,
      down: down === true,
    },
  };
}

export const LIVE_STYLE = `
main { max-width: none; }
.find { display: flex; flex-wrap: wrap; gap: 0.3em 1em; align-items: baseline; }
input { color: var(--vscode-input-foreground); background: var(--vscode-input-background); font: inherit; width: 20em; max-width: 100%;
  border: 1px solid var(--vscode-input-border, var(--vscode-contrastBorder, currentColor)); border-radius: 2px; padding: 0.2em 0.5em; }
.live { min-width: 100%; }
.live th[scope=row] { position: sticky; left: 0; background: var(--vscode-editor-background); font-weight: normal; min-width: 9em; max-width: 22em; }
button.sort, button.place { background: none; border: 0; padding: 0; text-align: left; white-space: inherit; }
button.sort { color: inherit; font-weight: 600; white-space: nowrap; }
button.place { color: var(--vscode-textLink-foreground); }
button.sort:hover, button.place:hover { background: none; text-decoration: underline; }
[aria-sort=ascending] .sort::after { content: ' ▲' / ''; }
[aria-sort=descending] .sort::after { content: ' ▼' / ''; }
`;

/** Besides its rows, a page is told what to say in one of them. */
export interface ToldInRow {
  readonly row: number;
  readonly told: string;
}

export const LIVE_SCRIPT = `
const box = document.querySelector('input[type=search]');
const body = document.querySelector('.live tbody');
const says = document.querySelector('.find [role=status]');
const heads = [...document.querySelectorAll('.live thead th')];
const rows = [...(body?.rows ?? [])];
const look = { words: '', column: null, down: false };
const change = (more) => post(Object.assign(look, more));
box?.addEventListener('input', () => change({ words: box.value }));
for (const [column, head] of heads.entries())
  head.querySelector('button').addEventListener('click', () => {
    change({ column, down: look.column === column && !look.down });
    for (const one of heads) one.ariaSort = one !== head ? 'none' : look.down ? 'descending' : 'ascending';
  });
document.addEventListener('click', ({ target }) => {
  const pressed = target instanceof Element ? target.closest('button[data-press]') : null;
  if (pressed !== null) post({ press: pressed.dataset.press });
});
window.addEventListener('message', ({ data }) => {
  if ('told' in data) {
    rows[data.row].querySelector('.told').textContent = data.told;
    return;
  }
  const { order, unfold } = data;
  for (const number of order) rows[number].hidden = false;
  body.replaceChildren(...order.map((number) => rows[number]));
  for (const number of unfold) rows[number].querySelector('details').open = true;
  says.textContent = data.says;
});
`;
