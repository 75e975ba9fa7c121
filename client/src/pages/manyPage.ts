import * as vscode from 'vscode';
import type { CompareManyResult, ManyRow } from '../../../shared-core/src/protocol/compare.js';
import { type Html, html } from './html.js';
import { LIVE_SCRIPT, LIVE_STYLE, type LiveTable, liveSection, toFind } from './liveTable.js';
import type { Page, PageContent } from './page.js';
import { boxed, headRow, list } from './parts.js';

/** Many dumps in one table, place by place; a value tells the extension its row and column. */
export const manyPage: Page<CompareManyResult> = { id: 'compareMany', content: manyContent };

function manyContent(result: CompareManyResult): PageContent {
  const { files, rows, says } = result;
  const title = vscode.l10n.t('{0} Dumps Compared', files.length);
  const body = html`<h1>${title}</h1>
${list(says)}
${leftAside(files)}
${rows.length === 0 ? '' : liveSection(manyTable(result))}`;
  return { title, body, style: LIVE_STYLE + STYLE, script: LIVE_SCRIPT };
}

/** The dumps that are not compared, with the reason for each; a name leads to its file. */
function leftAside(files: CompareManyResult['files']): Html {
  const left = files.flatMap(({ name, why }, index) => (why === null ? [] : { name, why, index }));
  if (left.length === 0) return html``;
  const row = ({ name, why, index }: (typeof left)[number]) =>
    html`<tr><th scope="row"><button class="place" data-press="file.${index}">${name}</button></th><td>${why}</td></tr>`;
  const caption = vscode.l10n.t('Left aside: {0}', left.length);
  return boxed(
    caption,
    html`<table class="aside"><caption>${caption}</caption>
<thead>${headRow([vscode.l10n.t('Dump'), vscode.l10n.t('Why it is not compared')])}</thead>
<tbody>${left.map(row)}</tbody></table>`,
  );
}

export function manyTable({ files, columns, rows }: CompareManyResult): LiveTable {
  return {
    caption: vscode.l10n.t('What differs, place by place'),
    search: vscode.l10n.t('Filter:'),
    columns: [vscode.l10n.t('Place'), ...columns.map((file) => files[file]?.name ?? '')],
    rows: rows.map((row, index) => {
      const texts = row.cells.map(({ text }) => text);
      return {
        found: toFind([row.title, row.what, ...texts].join(' ')),
        // Places are in the order of the first dump.
        keys: [String(index), ...texts],
        cells: cellsOf(row, index),
      };
    }),
  };
}

function cellsOf({ title, what, cells }: ManyRow, index: number): Html {
  const usual = cells[0]?.text;
  return html`<th scope="row">${title}${what === '' ? '' : html`<br><span class="muted">${what}</span>`}</th>${cells.map(
    ({ text, range }, column) =>
      html`<td class="mono${text === usual ? '' : ' differs'}">${
        range === null ? text : html`<button class="place" data-press="${index}.${column}">${text}</button>`
      }</td>`,
  )}`;
}

const STYLE = `
.differs, .differs button { font-weight: bold; }
.aside { margin-bottom: 1em; }
.aside caption { text-align: left; font-weight: bold; }
`;
