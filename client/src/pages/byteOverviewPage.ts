import * as vscode from 'vscode';
import { OVERVIEW_STYLE } from './byteOverviewStyle.js';
import { html } from './html.js';
import type { OverviewWords } from './inPage/byteOverviewMessages.js';
import type { Page, PageContent } from './page.js';

/** The script of the page; the build puts it here. */
declare const OVERVIEW_SCRIPT: string;

/** All bytes of a dump at a glance. The page asks for the lines that it shows, and draws them itself. */
export const byteOverviewPage: Page<undefined> = { id: 'byteOverview', returns: true, content: overviewContent };

export function overviewWords(): OverviewWords {
  return {
    noDump: vscode.l10n.t('Open a dump: its bytes are shown here.'),
    heads: { lines: vscode.l10n.t('Line'), addresses: vscode.l10n.t('Address') },
    line: vscode.l10n.t('Line {0}', '{0}'),
    cell: vscode.l10n.t('Line {0}, byte {1}: {2}', '{0}', '{1}', '{2}'),
    addressed: vscode.l10n.t('Address {0}: {1}', '{0}', '{1}'),
    roles: roles(),
    changed: vscode.l10n.t('changed from the backup'),
    wrong: vscode.l10n.t('wrong'),
    unreadable: vscode.l10n.t('cannot be read'),
  };
}

function roles(): Readonly<Record<'d' | 'o' | 'l' | 'v' | 'b' | 's', string>> {
  return {
    d: vscode.l10n.t('data'),
    o: vscode.l10n.t('option'),
    l: vscode.l10n.t('locked'),
    v: vscode.l10n.t('changes by itself'),
    b: vscode.l10n.t('balance place'),
    s: vscode.l10n.t('sum'),
  };
}

function overviewContent(): PageContent {
  const key = (role: string, sign: string, words: string) =>
    html`<li><span class="cell" data-role="${role}" data-sign="${sign}" aria-hidden="true">A5</span> ${words}</li>`;
  const keys = [
    ...Object.entries(roles()).map(([role, words]) => key(role, '.', words)),
    key('d', 'c', vscode.l10n.t('changed from the backup')),
    key('d', 'w', vscode.l10n.t('wrong')),
  ];
  const body = html`
<header>
  <h1 id="title">${vscode.l10n.t('Byte Overview')}</h1>
  <p id="summary" role="status"></p>
  <div class="line">
    <details id="key">
      <summary>${vscode.l10n.t('What the bytes are')}</summary>
      <ul>${keys}</ul>
    </details>
    <button id="small" class="secondary" aria-pressed="false">${vscode.l10n.t('Small')}</button>
  </div>
</header>
<div class="stage">
  <div id="scroll">
    <div id="grid" role="grid" aria-labelledby="title">
      <div id="top" role="rowgroup"><div id="head" role="row" aria-rowindex="1"><span role="columnheader" class="name" id="names">${vscode.l10n.t('Line')}</span></div></div>
      <div id="rows" role="rowgroup"></div>
    </div>
  </div>
  <div id="ruler" aria-hidden="true"></div>
  <section id="side" tabindex="0" aria-live="polite" aria-label="${vscode.l10n.t('The byte')}"><p class="muted">${vscode.l10n.t('Point at a byte, or walk with the arrow keys; Enter goes to it in the text.')}</p></section>
</div>`;
  return { title: vscode.l10n.t('Byte Overview'), body, style: OVERVIEW_STYLE, script: OVERVIEW_SCRIPT };
}
