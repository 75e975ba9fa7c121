import * as vscode from 'vscode';
import type { LearnedRule, LearnResult } from '../../shared-core/src/index.js';
import { escaped, type PageContent } from './page.js';

/** What was learned as a page: rules in order, each with what speaks for it, and a button that makes it the profile. */
export function learnPage({ name, rules, remarks }: LearnResult): PageContent {
  const title = vscode.l10n.t('How {0} sums', name);
  return {
    title,
    body: [
      `<h1>${escaped(title)}</h1>`,
      remarks.length === 0 ? '' : `<ul>${remarks.map((remark) => `<li>${escaped(remark)}</li>`).join('')}</ul>`,
      rules.length === 0 ? '' : table(rules),
    ].join('\n'),
    script: ADD_BUTTONS,
  };
}

/** Each button with a `data-add` tells the extension its number. */
export const ADD_BUTTONS = `
for (const button of document.querySelectorAll('button[data-add]'))
  button.addEventListener('click', () => post({ add: Number(button.dataset.add) }));`;

function table(rules: readonly LearnedRule[]): string {
  const head = [
    vscode.l10n.t('Rank'),
    vscode.l10n.t('Lines'),
    vscode.l10n.t('File sum'),
    vscode.l10n.t('Explained'),
    vscode.l10n.t('Probably damaged'),
    vscode.l10n.t('Chance of a wrong rule'),
    vscode.l10n.t('Profile'),
  ];
  return `<table>
<caption class="unseen">${escaped(vscode.l10n.t('Rules that were found, best first'))}</caption>
<thead><tr>${head.map((cell) => `<th scope="col">${escaped(cell)}</th>`).join('')}</tr></thead>
<tbody>${rules.map(row).join('\n')}</tbody>
</table>`;
}

function row(rule: LearnedRule, index: number): string {
  const form = vscode.l10n.t('Written as {0}', rule.form);
  const open = rule.undecided
    ? `<br><em>${escaped(vscode.l10n.t('These dumps cannot tell it from the first.'))}</em>`
    : '';
  const cells = [
    String(index + 1),
    `${escaped(rule.lineSum)}${open}<br><span class="muted">${escaped(form)}</span>`,
    escaped(rule.total),
    escaped(vscode.l10n.t('{0} of {1} lines', rule.linesExplained, rule.lines)),
    rule.damaged.length === 0 ? escaped(vscode.l10n.t('none')) : rule.damaged.map(escaped).join('<br>'),
    escaped(rule.chance),
    `<button data-add="${index}" aria-label="${escaped(vscode.l10n.t('Add to Profile: rule {0}', index + 1))}">${escaped(vscode.l10n.t('Add to Profile'))}</button>`,
  ];
  return `<tr>${cells.map((cell, i) => (i === 0 ? `<th scope="row">${cell}</th>` : `<td>${cell}</td>`)).join('')}</tr>`;
}
