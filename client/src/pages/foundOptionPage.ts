import * as vscode from 'vscode';
import type {
  FindOptionResult,
  FoundPlace,
  OptionMap,
  OptionMapCell,
  PlaceOfItsOwn,
} from '../../../shared-core/src/protocol/learning.js';
import { type Html, html } from './html.js';
import type { Page, PageContent } from './page.js';
import { ADD_BUTTONS, headRow, list, STACKED } from './parts.js';

/** Says in the cell of a place that it is in the profile: its number in the list, and that of one that changed with it. */
export interface AddedPlace {
  readonly cell: readonly number[];
  readonly says: string;
  /** What its row is about now, where that is the whole digit and no longer some bits of it. */
  readonly row?: { readonly place: string; readonly values: readonly [withIt: string, withoutIt: string] };
}

export function rowOf({ place, values: [fitted = [], absent = []] }: RowContent): AddedPlace['row'] & object {
  return { place, values: [fitted.join(' '), absent.join(' ')] };
}

type RowContent = Pick<PlaceOfItsOwn, 'place' | 'values'>;

export function inProfile(title: string): string {
  return vscode.l10n.t('In the profile: "{0}"', title);
}

/** What was found: the places in order, each with a button that adds it to the profile, and all bytes on a map. */
export const foundOptionPage: Page<FindOptionResult> = { id: 'option', content: foundContent };

function foundContent({ name, sizes, candidates, map, remarks, next, pair }: FindOptionResult): PageContent {
  const title = vscode.l10n.t('Where "{0}" is set', name);
  const [fitted = 0, absent = 0] = sizes;
  const said = [
    vscode.l10n.t('Dumps with it: {0}. Dumps without it: {1}.', fitted, absent),
    ...remarks,
    ...(next ? [next] : []),
  ];
  // One button is what to do next: a place that is sure goes into the profile, or else trials tell.
  const first = candidates.findIndex((place) => place.found && titleIn(place) === null);
  return {
    title,
    body: html`<h1>${title}</h1>
${list(said)}
${candidates.length === 0 ? '' : html`<p class="muted">${aboutFigures()} ${aboutBits()}</p>`}
${pair.length === 0 ? '' : html`<h2>${vscode.l10n.t('Before and after')}</h2>${list(pair)}`}
${candidates.length === 0 ? '' : html`${allPlaces(candidates, first, remarks.length > 0 || next !== null)}<p>${trialsButton(first < 0)}</p>`}
${map.rows.length === 0 ? '' : mapSection(map)}`,
    style: STYLE,
    script: `${ADD_BUTTONS}
for (const button of document.querySelectorAll('button[data-also]'))
  button.addEventListener('click', () => post({ add: Number(button.dataset.of), also: Number(button.dataset.also) }));
for (const button of document.querySelectorAll('button[data-digit]'))
  button.addEventListener('click', () => post({ digit: Number(button.dataset.digit) }));
document.querySelector('button[data-trials]')?.addEventListener('click', () => post({ trials: true }));
${TOLD}
${WALK}`,
  };
}

function trialsButton(isFirst: boolean): Html {
  return html`<button${isFirst ? '' : SECONDARY} data-trials>${vscode.l10n.t('Plan Trials on This Dump')}</button>`;
}

const SECONDARY = html` class="secondary"`;

/** What the option is called that is at a place already, or in the whole digit of it. */
function titleIn({ inProfile: title, digit }: FoundPlace): string | null {
  return title ?? digit?.inProfile ?? null;
}

/**
 * Places that fit all dumps come first, those that are sure before others; what only varies is folded behind them. Not where
 * it `isTold` above does it say that none is sure.
 */
function allPlaces(candidates: readonly FoundPlace[], first: number, isTold: boolean): Html {
  const numbered = candidates.map((place, index) => ({ place, index, isFirst: index === first }));
  const fitting = numbered.filter(({ place: { found, fits } }) => found || fits);
  const others = numbered.filter((one) => !fitting.includes(one));
  const none = vscode.l10n.t('No place is sure. More dumps of cars with it and without it tell them apart.');
  const folded = vscode.l10n.t('Places that only vary');
  return html`${isTold || candidates.some(({ found }) => found) ? '' : html`<p>${none}</p>`}
${fitting.length === 0 ? '' : html`<h2>${vscode.l10n.t('Places that fit the dumps: {0}', inWays(fitting))}</h2>${places(fitting)}`}
${others.length === 0 ? '' : html`<details${fitting.length === 0 ? OPEN : ''}><summary>${folded}</summary>${places(others)}</details>`}`;
}

const OPEN = html` open`;

/** How many places there are, and how many rows where several change together. */
function inWays(all: readonly NumberedPlace[]): string {
  const ways = all.reduce((sum, { place }) => sum + 1 + place.sameAs.length, 0);
  if (ways === all.length) return String(ways);
  if (all.length === 1) return vscode.l10n.t('{0}, all changed together', ways);
  return vscode.l10n.t('{0}, in {1} groups that changed together', ways, all.length);
}

interface NumberedPlace {
  readonly place: FoundPlace;
  readonly index: number;
  /** Its button is the one that stands out. */
  readonly isFirst: boolean;
}

function places(candidates: readonly NumberedPlace[]): Html {
  const hasExceptions = candidates.some(({ place }) => place.exceptions.length > 0);
  const head = [
    vscode.l10n.t('Place'),
    vscode.l10n.t('Profile'),
    vscode.l10n.t('With'),
    vscode.l10n.t('Without'),
    vscode.l10n.t('How sure'),
    ...(hasExceptions ? [vscode.l10n.t('Not as labelled')] : []),
  ];
  return html`<table class="stacked">
<caption class="unseen">${vscode.l10n.t('Places that tell the dumps apart, best first')}</caption>
<thead>${headRow(head)}</thead>
<tbody>${candidates.flatMap((one) => placeRows(one, hasExceptions))}</tbody>
</table>${candidates.some(({ place }) => place.sameAs.length > 0) ? html`<p class="muted">${aboutAlike()}</p>` : ''}`;
}

/** Said once above the places, and where somebody points at the figures. */
function aboutFigures(): string {
  return vscode.l10n.t(
    'Behind the words are the figures: p says how often chance alone makes one place fit this well, q which share of such finds is false (0 is none, 1 is all of them).',
  );
}

function aboutBits(): string {
  return vscode.l10n.t('Bits of a byte are counted from the right: bit 0 is the lowest, bit 7 the highest.');
}

function aboutAlike(): string {
  return vscode.l10n.t(
    'Places after "or" changed together with the one before in all these dumps: which of them is the equipment, or whether several are, these dumps do not tell. Each can be added alone.',
  );
}

/** A place, and below it those that tell the dumps apart as well. */
function placeRows({ place: of, index, isFirst }: NumberedPlace, hasExceptions: boolean): readonly Html[] {
  const { odds: words, p, q, found, exceptions, sameAs, digit } = of;
  const figures = html`<span class="muted" title="${aboutFigures()}">(p = ${p}, q = ${q})</span>`;
  const sure = html`${words} ${figures}`;
  const rest = html`<td data-label="${vscode.l10n.t('How sure')}">${found ? html`<strong>${sure}</strong>` : sure}</td>${hasExceptions ? exceptionCell(exceptions) : ''}`;
  // The row is about what the profile holds.
  const held = of.inProfile === null && digit !== null && digit.inProfile !== null ? digit : of;
  const { place } = held;
  const add = held === digit ? html`data-digit="${index}"` : html`data-add="${index}"`;
  const button = addButton(place, { add, isFirst, title: titleIn(of) });
  const whole = digit === null || titleIn(of) !== null ? '' : html`<div>${digitButton(digit, index)}</div>`;
  return [
    html`<tr><th scope="row" class="place">${place}</th>
<td id="in-${index}">${button}${whole}</td>
${valueCells(held)}
${rest}</tr>`,
    ...sameAs.map(
      (one, also) => html`<tr><th scope="row" class="place alike">${vscode.l10n.t('or {0}', one.place)}</th>
<td id="in-${index}-${also}">${addButton(one.place, { add: html`data-of="${index}" data-also="${also}"`, isFirst: false, title: one.inProfile })}</td>
${valueCells(one)}
${rest}</tr>`,
    ),
  ];
}

function exceptionCell(exceptions: readonly string[]): Html {
  if (exceptions.length === 0) return html`<td></td>`;
  return html`<td data-label="${vscode.l10n.t('Not as labelled')}">${exceptions.join(', ')}</td>`;
}

interface AddButton {
  readonly add: Html;
  readonly isFirst: boolean;
  /** What the option is called that is there already. */
  readonly title: string | null;
}

/** What is in the profile already may still be written anew, as when more dumps tell more of it. */
function addButton(place: string, { add, isFirst, title }: AddButton): Html {
  const label = title === null ? vscode.l10n.t('Add to Profile') : vscode.l10n.t('Write Anew…');
  const spoken = title === null ? vscode.l10n.t('Add to Profile: {0}', place) : vscode.l10n.t('Write Anew: {0}', place);
  const button = html`<button${isFirst ? '' : SECONDARY} ${add} aria-label="${spoken}">${label}</button>`;
  return title === null ? button : html`<div>${inProfile(title)}</div>${button}`;
}

function valueCells(of: RowContent): Html {
  const [fitted, absent] = rowOf(of).values;
  return html`<td data-label="${vscode.l10n.t('With')}"><code>${fitted}</code></td>
<td data-label="${vscode.l10n.t('Without')}"><code>${absent}</code></td>`;
}

/** The whole digit in place of some bits of it, with the digits that mark each group. */
function digitButton({ place, values }: FoundPlace['digit'] & object, index: number): Html {
  const [fitted = [], absent = []] = values;
  const said = vscode.l10n.t('Add the Whole Digit: {0} or {1}', fitted.join(' '), absent.join(' '));
  return html`<button class="secondary" data-digit="${index}" aria-label="${said}, ${place}">${said}</button>`;
}

function mapSection({ columns, rows, left }: OptionMap): Html {
  const about = vscode.l10n.t(
    'What stands in a byte says whether a place in it fits all dumps, and how likely that is mere chance. Sums and bytes that change by themselves are left out. Pointing at a byte shows the figure behind it (q, the share of false finds among places as good).',
  );
  const more = left === 0 ? '' : ` ${vscode.l10n.t('{0} lines in which nothing varies are not shown.', left)}`;
  const body = rows.map(({ label, cells }) => {
    const byByte = new Map(cells.map((cell) => [cell.byte, cell]));
    const all = Array.from({ length: columns }, (_, i) => mapCell(label, i + 1, byByte.get(i + 1)));
    return html`<tr role="row"><th role="rowheader" scope="row">${label}</th>${all}</tr>`;
  });
  const numbers = Array.from({ length: columns }, (_, i) => html`<th scope="col">${i + 1}</th>`);
  return html`<h2 id="map">${vscode.l10n.t('Map')}</h2>
<p class="muted">${about + more}</p>
<p class="legend">${legend()}</p>
<div class="wide"><table class="map" role="grid" aria-labelledby="map">
<thead><tr role="row"><th scope="col">${vscode.l10n.t('Line')}</th>${numbers}</tr></thead>
<tbody>${body}</tbody>
</table></div>`;
}

function legend(): readonly Html[] {
  const words = [
    ['q4', vscode.l10n.t('chance: at most 1 in 1000')],
    ['q3', vscode.l10n.t('chance: at most 1 in 20')],
    ['q2', vscode.l10n.t('chance: at most 1 in 4')],
    ['q1 fits', vscode.l10n.t('fits all dumps, which could well be chance')],
    ['q1', vscode.l10n.t('only varies')],
    ['q0', vscode.l10n.t('· the same in all dumps')],
  ] as const;
  return words.map(([style, text]) => html`<span class="key ${style}">${text}</span> `);
}

function mapCell(label: string, byte: number, cell: OptionMapCell | undefined): Html {
  if (cell === undefined) return html`<td role="gridcell" class="none"></td>`;
  const { q, odds: words, short, level, fits } = cell;
  const spoken =
    q === null || words === null
      ? vscode.l10n.t('line {0}, byte {1}: the same in all dumps', label, byte)
      : vscode.l10n.t('line {0}, byte {1}: {2}; q = {3}', label, byte, words, q);
  return html`<td role="gridcell" class="q${level}${fits ? ' fits' : ''}" tabindex="-1" aria-label="${spoken}" title="${spoken}">${short ?? '·'}</td>`;
}

/** In place of the button that was pressed stands what became of it, and the cursor stays there. */
const TOLD = `
window.addEventListener('message', ({ data: { cell, says, row } }) => {
  const at = document.getElementById(['in', ...cell].join('-'));
  const wasHere = at.contains(document.activeElement);
  at.textContent = says;
  if (row) {
    const tr = at.closest('tr');
    tr.querySelector('.place').textContent = row.place;
    tr.querySelectorAll('code').forEach((code, i) => { code.textContent = row.values[i]; });
  }
  at.tabIndex = -1;
  if (wasHere) at.focus();
});`;

/** The arrow keys walk over the map, which is one stop of the tab key. */
const WALK = `
const rows = [...document.querySelectorAll('.map tbody tr')].map((row) => [...row.querySelectorAll('td')]);
const first = document.querySelector('.map td[tabindex]');
if (first) first.tabIndex = 0;
const STEPS = { ArrowLeft: [0, -1], ArrowRight: [0, 1], ArrowUp: [-1, 0], ArrowDown: [1, 0] };
document.querySelector('.map')?.addEventListener('keydown', (event) => {
  const step = STEPS[event.key];
  const from = event.target.closest('td');
  if (!step || !from) return;
  event.preventDefault();
  const row = rows.findIndex((cells) => cells.includes(from));
  const next = rows[row + step[0]]?.[rows[row].indexOf(from) + step[1]];
  if (!next?.hasAttribute('tabindex')) return;
  for (const cell of document.querySelectorAll('.map td[tabindex="0"]')) cell.tabIndex = -1;
  next.tabIndex = 0;
  next.focus();
});`;

/** Where rows are blocks, the columns of all rows are as wide as the page leaves them, not as their buttons are long. */
const STYLE = `${STACKED}
@media (max-width: 62em) {
  .stacked tr { display: grid; grid-template-columns: minmax(0, 13em) repeat(2, minmax(0, 8em)); }
  .stacked th[scope=row], .stacked td:nth-child(n + 5) { grid-column: 1 / -1; }
  .stacked button { white-space: normal; }
}
.place { white-space: nowrap; }
.alike { font-weight: normal; padding-left: 1.2em; }
.map { font-family: var(--vscode-editor-font-family); font-variant-numeric: tabular-nums; }
.map th, .map td { text-align: center; padding: 0.15em 0.5em; min-width: 3.2em; border: 1px solid var(--vscode-widget-border, transparent); }
.map thead th, .map tbody th { color: var(--vscode-descriptionForeground); font-weight: normal; }
.map .none { border-color: transparent; }
.q0 { color: var(--vscode-descriptionForeground); }
.fits { font-weight: 600; background: color-mix(in srgb, var(--vscode-charts-blue) 18%, transparent); box-shadow: inset 0 0 0 2px var(--vscode-charts-blue); }
.q2 { background: color-mix(in srgb, var(--vscode-charts-yellow) 15%, transparent); }
.q3 { background: color-mix(in srgb, var(--vscode-charts-green) 20%, transparent); font-weight: 600; }
.q4 { background: color-mix(in srgb, var(--vscode-charts-green) 30%, transparent); font-weight: 600; box-shadow: inset 0 0 0 2px var(--vscode-charts-green); }
.legend .key { display: inline-block; padding: 0 0.6em; border: 1px solid var(--vscode-widget-border, currentColor); }
.map td:focus { outline: 2px solid var(--vscode-focusBorder); outline-offset: -2px; }
`;
