import * as vscode from 'vscode';
import type { FoundInBytes, LearnedRule, LearnResult } from '../../../shared-core/src/index.js';
import { type Html, html } from './html.js';
import type { Page, PageContent } from './page.js';
import { ADD_BUTTONS, headRow, list, odds } from './parts.js';

/** What was learned: rules in order, each with what speaks for it, and a button that makes it the profile; with -1, another dump is to be brought in. */
export const learnedPage: Page<LearnResult> = { id: 'learned', content: learnedContent };

function learnedContent({ name, wantsMore, rules, findings, remarks }: LearnResult): PageContent {
  const title = vscode.l10n.t('Checksum rule of {0}', name);
  return {
    title,
    body: html`<h1>${title}</h1>${list(remarks)}${wantsMore ? html`<p><button data-add="-1">${vscode.l10n.t('Bring In a Dump…')}</button></p>` : ''}${rules.length === 0 ? '' : table(rules, findings !== null)}${found(findings ?? [])}${workedOut(rules)}`,
    style: STYLE,
    script: ADD_BUTTONS,
  };
}

function table(rules: readonly LearnedRule[], isImage: boolean): Html {
  const head = [
    vscode.l10n.t('Rank'),
    vscode.l10n.t('Lines'),
    vscode.l10n.t('File sum'),
    vscode.l10n.t('Explained'),
    vscode.l10n.t('Probably damaged'),
    vscode.l10n.t('How sure'),
    vscode.l10n.t('Profile'),
  ];
  return html`<table>
<caption class="unseen">${vscode.l10n.t('Rules that were found, best first')}</caption>
<thead>${headRow(head)}</thead>
<tbody>${rules.map((rule, index) => row(rule, index, isImage))}</tbody>
</table>`;
}

function row(rule: LearnedRule, index: number, isImage: boolean): Html {
  const open = rule.undecided
    ? html`<br><em>${vscode.l10n.t('These dumps cannot tell it from the first.')}</em>`
    : html``;
  return html`<tr>
<th scope="row">${index + 1}</th>
<td>${rule.lineSum}${open}<br><span class="muted">${vscode.l10n.t('Written as {0}', rule.form)}</span></td>
<td>${rule.total}</td>
<td>${isImage ? '–' : vscode.l10n.t('{0} of {1} lines', rule.linesExplained, rule.lines)}</td>
<td>${rule.damaged.length === 0 ? vscode.l10n.t('none') : rule.damaged.map((one) => html`<div>${one}</div>`)}</td>
<td>${odds(rule.odds, vscode.l10n.t('chance of a wrong rule: {0}', rule.chance))}</td>
<td><button data-add="${index}" aria-label="${vscode.l10n.t('Add to Profile: rule {0}', index + 1)}">${vscode.l10n.t('Add to Profile')}</button></td>
</tr>`;
}

/** What was found in the bytes of images. */
function found(findings: readonly FoundInBytes[]): Html {
  if (findings.length === 0) return html``;
  return html`<h2>${vscode.l10n.t('Found in the bytes')}</h2>
<table>
<thead>${headRow([vscode.l10n.t('What and where'), vscode.l10n.t('How sure')])}</thead>
<tbody>${findings.map(
    ({ what, odds: words, chance }) =>
      html`<tr><td>${what}</td><td>${odds(words, vscode.l10n.t('chance of an accident: {0}', chance))}</td></tr>`,
  )}</tbody>
</table>`;
}

/** One sum by each rule, from its bytes to what is stored, for a person to follow. */
function workedOut(rules: readonly LearnedRule[]): Html {
  const shown = rules.flatMap(({ worked }, index) => (worked === null ? [] : { ...worked, number: index + 1 }));
  return html`${shown.map(
    ({ number, of, steps, hint }) => html`<section class="worked">
<h2>${vscode.l10n.t('Worked out by rule {0}', number)}</h2>
<p class="muted">${of}</p>
<p><code>${steps}</code></p>${hint === null ? '' : html`<p class="muted">${hint}</p>`}
</section>`,
  )}`;
}

const STYLE = `
.worked code { overflow-wrap: anywhere; }
`;
