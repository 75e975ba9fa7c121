import * as vscode from 'vscode';
import type { FoundInBytes, LearnedRule, LearnResult } from '../../../shared-core/src/protocol/learning.js';
import { type Html, html } from './html.js';
import type { Page, PageContent } from './page.js';
import { ADD_BUTTONS, boxed, headRow, list, odds, STACKED } from './parts.js';

interface Learned extends LearnResult {
  /** The dump is in no file yet. */
  readonly isUnsaved: boolean;
}

/** What was learned: rules in order, each with what speaks for it, and a button that makes it the profile; with -1, another dump is to be brought in. */
export const learnedPage: Page<Learned> = { id: 'learned', content: learnedContent };

function learnedContent({ name, wantsMore, rules, findings, remarks, isUnsaved }: Learned): PageContent {
  const title = vscode.l10n.t('Checksum rule of {0}', name);
  return {
    title,
    body: html`<h1>${title}</h1>${isUnsaved && rules.length > 0 ? saveFirst(name, rules.length === 1, wantsMore) : ''}${list(remarks)}${wantsMore ? whatComesFirst() : ''}${rules.length === 0 ? '' : table(rules, findings !== null, wantsMore)}${found(findings ?? [])}${workedOut(rules)}`,
    style: STYLE,
    script: ADD_BUTTONS,
  };
}

/** The profile lies beside the dump, so that is saved first; where there is one rule, by a button here. */
function saveFirst(name: string, isOne: boolean, wantsMore: boolean): Html {
  const says = vscode.l10n.t(
    '{0} is in no file yet. For its profile, which goes into the same folder, it is saved first.',
    name,
  );
  if (!isOne) return html`<p>${says}</p>`;
  return html`<p>${says}</p><p><button${wantsMore ? html` class="secondary"` : ''} data-add="0">${vscode.l10n.t('Save the Dump and Make the Profile')}</button></p>`;
}

/** More dumps come before a profile by a rule that is not sure. */
function whatComesFirst(): Html {
  const says = vscode.l10n.t(
    'First bring in more dumps of the same module, then work out the rule again. The profile can be made now all the same.',
  );
  return html`<p>${says}</p><p><button data-add="-1">${vscode.l10n.t('Bring In a Dump…')}</button></p>`;
}

function table(rules: readonly LearnedRule[], isImage: boolean, wantsMore: boolean): Html {
  const isRanked = rules.length > 1;
  const { rank, lines, form, total, explained, damaged, sure, profile } = heads();
  // An image has no lines.
  const head = [
    ...(isRanked ? [rank] : []),
    isImage ? form : lines,
    total,
    ...(isImage ? [] : [explained, damaged]),
    sure,
    profile,
  ];
  return html`<table class="stacked">
<caption class="unseen">${vscode.l10n.t('Rules that were found, best first')}</caption>
<thead>${headRow(head)}</thead>
<tbody>${rules.map((rule, index) => row(rule, index, { isImage, isRanked, wantsMore }))}</tbody>
</table>`;
}

const heads = () => ({
  rank: vscode.l10n.t('Rank'),
  lines: vscode.l10n.t('Lines'),
  form: vscode.l10n.t('Written form'),
  total: vscode.l10n.t('File sum'),
  explained: vscode.l10n.t('Explained'),
  damaged: vscode.l10n.t('Probably damaged'),
  sure: vscode.l10n.t('How sure'),
  profile: vscode.l10n.t('Profile'),
});

interface Shape {
  readonly isImage: boolean;
  readonly isRanked: boolean;
  readonly wantsMore: boolean;
}

function row(rule: LearnedRule, index: number, { isImage, isRanked, wantsMore }: Shape): Html {
  const open = rule.undecided
    ? html`<br><em>${vscode.l10n.t('These dumps cannot tell it from the first.')}</em>`
    : html``;
  const lines = vscode.l10n.t('{0} of {1} different lines', rule.linesExplained, rule.lines);
  // Whether lines that no rule gives are damaged, nobody can tell.
  const isWhole = rule.linesExplained === rule.lines;
  const { lines: head, total, explained, damaged, sure } = heads();
  const written = vscode.l10n.t('Written as {0}', rule.form);
  const form = rule.pattern === null ? html`${written}` : html`${written}<br><code>${rule.pattern}</code>`;
  const rules =
    rule.lineSum === '' ? html`${form}${open}` : html`${rule.lineSum}${open}<br><span class="muted">${form}</span>`;
  const ofLines = html`<td data-label="${explained}">${lines}</td>
<td data-label="${damaged}">${rule.damaged.length > 0 ? rule.damaged.map((one) => html`<div>${one}</div>`) : isWhole ? vscode.l10n.t('none') : '–'}</td>`;
  return html`<tr>
${isRanked ? html`<th scope="row">${index + 1}</th><td data-label="${head}">${rules}</td>` : html`<th scope="row" class="plain">${rules}</th>`}
<td data-label="${total}">${rule.total}</td>
${isImage ? '' : ofLines}
<td data-label="${sure}">${odds(rule.odds, rule.chance && vscode.l10n.t('chance of a wrong rule: {0}', rule.chance))}</td>
<td><button${wantsMore ? html` class="secondary"` : ''} data-add="${index}" aria-label="${vscode.l10n.t('Make the Profile: rule {0}', index + 1)}">${vscode.l10n.t('Make the Profile')}</button></td>
</tr>`;
}

/** What was found in the bytes of images. */
function found(findings: readonly FoundInBytes[]): Html {
  if (findings.length === 0) return html``;
  const title = vscode.l10n.t('Found in the bytes');
  return html`<h2>${title}</h2>
${boxed(
  title,
  html`<table>
<thead>${headRow([vscode.l10n.t('What and where'), vscode.l10n.t('How sure')])}</thead>
<tbody>${findings.map(
    ({ what, odds: words, chance }) =>
      html`<tr><td>${what}</td><td>${odds(words, chance && vscode.l10n.t('chance of an accident: {0}', chance))}</td></tr>`,
  )}</tbody>
</table>`,
)}`;
}

/** One sum by each rule, from its bytes to what is stored, for a person to follow. */
function workedOut(rules: readonly LearnedRule[]): Html {
  const shown = rules.flatMap(({ worked }, index) => (worked === null ? [] : { ...worked, number: index + 1 }));
  return html`${shown.map(
    ({ number, of, steps, hint }) => html`<section class="worked">
<h2>${shown.length > 1 ? vscode.l10n.t('Worked out by rule {0}', number) : vscode.l10n.t('One sum worked out')}</h2>
<p class="muted">${of}</p>
<p><code>${steps}</code></p>${hint === null ? '' : html`<p class="muted">${hint}</p>`}
</section>`,
  )}`;
}

const STYLE = `${STACKED}
th.plain { font-weight: normal; }
.worked code { overflow-wrap: anywhere; }
`;
