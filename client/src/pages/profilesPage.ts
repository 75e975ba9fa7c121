import * as vscode from 'vscode';
import type { ListProfilesResult, ProfileEntry } from '../../../shared-core/src/protocol/profiles.js';
import { type Html, html } from './html.js';
import { LIVE_SCRIPT, LIVE_STYLE, type LiveTable, liveSection, toFind } from './liveTable.js';
import type { Page, PageContent } from './page.js';
import { list } from './parts.js';

/** What the profiles at hand are for; whatever is pressed tells the extension its kind and its numbers. */
export const profilesPage: Page<ListProfilesResult> = { id: 'profiles', content: profilesContent };

function profilesContent(result: ListProfilesResult): PageContent {
  const title = vscode.l10n.t('Profiles');
  const { profiles, unlisted } = result;
  const settings = html`<p><button class="secondary" data-press="settings">${vscode.l10n.t('Name Folders with Profiles')}</button></p>`;
  const body = html`<h1>${title}</h1>
${list(unlisted)}
${profiles.length > 0 ? liveSection(profilesTable(result)) : html`<p>${whyEmpty(result)}</p>${settings}`}`;
  return { title, body, style: LIVE_STYLE + STYLE, script: LIVE_SCRIPT };
}

function whyEmpty({ hasFolder }: ListProfilesResult): string {
  return hasFolder
    ? vscode.l10n.t(
        'There is no profile in these folders yet. Open a dump and run *Work Out the Checksum Rule*, or put "*.dump-profile.json" files into a folder "profiles".',
      )
    : vscode.l10n.t(
        'No folder is open. Open one with dumps or profiles, or name the folders that you keep profiles in.',
      );
}

export function profilesTable({ profiles }: ListProfilesResult): LiveTable {
  return {
    caption: vscode.l10n.t('Profiles, with what they are for and how sure they are'),
    search: vscode.l10n.t('Module, part or option:'),
    columns: [
      vscode.l10n.t('Module'),
      vscode.l10n.t('Parts'),
      vscode.l10n.t('Software'),
      vscode.l10n.t('Builds on'),
      vscode.l10n.t('Options'),
      vscode.l10n.t('Proofs'),
      vscode.l10n.t('Problems'),
    ],
    rows: profiles.map((profile, index) => {
      const { name, title, part, software, bases, options, samples, problems } = profile;
      const folded = toFind(options.flatMap((option) => [option.title, option.words]).join(' '));
      const own = toFind([name, title ?? '', ...part, ...software, ...bases].join(' '));
      return {
        found: `${own} ${folded}`,
        folded,
        keys: [
          title ?? name,
          part.join(' '),
          software.join(' '),
          bases.join(' '),
          String(options.length),
          String(samples),
          String(problems.length),
        ],
        cells: cellsOf(profile, index),
      };
    }),
  };
}

function cellsOf(
  { name, title, part, software, bases, options, samples, problems }: ProfileEntry,
  index: number,
): Html {
  const file = html`<button class="place" data-press="file.${index}">${title ?? name}</button>`;
  // What has a problem is left out of a profile, so that it may be for fewer modules than it seems.
  const any = problems.length === 0 ? vscode.l10n.t('any') : '';
  return html`<th scope="row">${file}${title === null ? '' : html`<br><span class="muted">${name}</span>`}</th>
<td>${part.join(', ') || any}</td><td>${software.join(', ') || any}</td><td>${bases.join(', ')}</td>
<td>${options.length === 0 ? '0' : optionsOf(options, index)}</td>
<td>${samples === 0 ? vscode.l10n.t('none') : samplesOf(name, samples, index)}${seenOf(options)}</td>
<td>${problems.length === 0 ? vscode.l10n.t('none') : html`<ul>${problems.map(({ says }, i) => html`<li><button class="place" data-press="problem.${index}.${i}">${says}</button></li>`)}</ul>`}</td>`;
}

function optionsOf(options: ProfileEntry['options'], index: number): Html {
  const confirmed = options.filter(({ confidence }) => confidence === 'confirmed').length;
  return html`<details><summary>${vscode.l10n.t('{0}, confirmed: {1}', options.length, confirmed)}</summary><ul>${options.map(
    (option, i) =>
      html`<li><button class="place" data-press="option.${index}.${i}">${option.title}</button> <span class="muted">${evidenceOf(option).join(' · ')}</span></li>`,
  )}</ul></details>`;
}

function evidenceOf({ confidence, seen }: ProfileEntry['options'][number]): readonly string[] {
  const sure = sureness(confidence);
  return [...(sure === '' ? [] : [sure]), ...(seen === 0 ? [] : [vscode.l10n.t('seen: {0}', seen)])];
}

/** How many options say on which modules they were seen. */
function seenOf(options: ProfileEntry['options']): Html {
  const count = options.filter(({ seen }) => seen > 0).length;
  return count === 0 ? html`` : html`<div class="muted">${vscode.l10n.t('options seen on modules: {0}', count)}</div>`;
}

function sureness(confidence: ProfileEntry['options'][number]['confidence']): string {
  switch (confidence) {
    case 'confirmed':
      return vscode.l10n.t('confirmed');
    case 'likely':
      return vscode.l10n.t('likely');
    case 'guess':
      return vscode.l10n.t('a guess');
    default:
      return '';
  }
}

function samplesOf(name: string, samples: number, index: number): Html {
  const test = vscode.l10n.t('Test Samples');
  return html`<span class="muted">${vscode.l10n.t('samples: {0}', samples)}</span><br><button class="secondary" data-press="test.${index}" aria-label="${`${test}: ${name}`}">${test}</button><div class="told" role="status"></div>`;
}

const STYLE = `
.live ul { margin: 0; padding-left: 1.2em; }
.live td { min-width: 5em; }
.live td:last-child { min-width: 12em; }
.told { white-space: pre-line; max-width: 26em; }
summary { cursor: pointer; white-space: nowrap; }
`;
