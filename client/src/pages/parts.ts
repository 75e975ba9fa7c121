import { type Html, html } from './html.js';

/** A list of sentences; nothing where there are none. */
export function list(items: readonly string[]): Html {
  return items.length === 0 ? html`` : html`<ul>${items.map((item) => html`<li>${item}</li>`)}</ul>`;
}

export function headRow(titles: readonly string[]): Html {
  return html`<tr>${titles.map((title) => html`<th scope="col">${title}</th>`)}</tr>`;
}

/** How sure something is, in words, and behind them the figures. */
export function odds(words: string, figures: string): Html {
  return html`${words}<br><span class="muted">${figures}</span>`;
}

/** Each button with a `data-add` tells the extension its number. */
export const ADD_BUTTONS = `
for (const button of document.querySelectorAll('button[data-add]'))
  button.addEventListener('click', () => post({ add: Number(button.dataset.add) }));`;
