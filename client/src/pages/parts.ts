import { type Html, html } from './html.js';

/** A list of sentences; nothing where there are none. */
export function list(items: readonly string[]): Html {
  return items.length === 0 ? html`` : html`<ul>${items.map((item) => html`<li>${item}</li>`)}</ul>`;
}

export function headRow(titles: readonly string[]): Html {
  return html`<tr>${titles.map((title) => html`<th scope="col">${title}</th>`)}</tr>`;
}

/** A table in a box that scrolls by itself where the window is narrow, also by keys; the page around it stays as wide as that. */
export function boxed(label: string, table: Html): Html {
  return html`<div class="wide" role="region" aria-label="${label}" tabindex="0">${table}</div>`;
}

/** How sure something is, in words, and behind them the figures where there are some. */
export function odds(words: string, figures: string): Html {
  if (figures === '') return html`${words}`;
  return html`${words}<br><span class="muted">${figures}</span>`;
}

/**
 * Of a table whose cells have a `data-label`: where the page is narrow, each row is a block, and each cell says in it what the
 * heading of its column says, so that nothing is out of sight at the right.
 */
export const STACKED = `
@media (max-width: 62em) {
  .stacked, .stacked tbody { display: block; }
  .stacked thead { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
  .stacked tr { display: flex; flex-wrap: wrap; align-items: baseline; gap: 0.2em 1.2em; padding: 0.6em 0;
    border-bottom: 1px solid var(--vscode-widget-border, var(--vscode-contrastBorder, currentColor)); }
  .stacked th, .stacked td { padding: 0; border: 0; min-width: 0; }
  .stacked th[scope=row] { flex-basis: 100%; white-space: normal; }
  .stacked td[data-label]::before { content: attr(data-label) ': '; color: var(--vscode-descriptionForeground); }
}
`;

/** Each button with a `data-add` tells the extension its number. */
export const ADD_BUTTONS = `
for (const button of document.querySelectorAll('button[data-add]'))
  button.addEventListener('click', () => post({ add: Number(button.dataset.add) }));`;
