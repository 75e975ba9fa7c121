import * as vscode from 'vscode';
import {
  checkDump,
  checksumOf,
  crcModel,
  createWorkspace,
  done,
  formOf,
  headerValue,
  hex,
  type ImageBytesView,
  type Phrase,
  type Problem,
  phrase,
  type Result,
  readAddressRange,
  readImageBytes,
  refuse,
  say,
  shownProblems,
  summaryOf,
  valueOver,
  verdictOf,
} from '../../../shared-core/src/index.js';
import { editorHost } from '../files.js';
import { nameOf } from '../places.js';
import { type Html, html, linesOf } from './html.js';
import type { PageContent } from './page.js';
import { headRow } from './parts.js';

/** Lines of 16 bytes that are shown at a time. */
const LINES_ON_PAGE = 256;

/** More rows than these of a table help nobody. */
const MOST_SHOWN = 200;

/** What there is to show of an image. */
export interface ReadImage {
  readonly notation: string;
  /** Bytes of the file. */
  readonly size: number;
  readonly problems: readonly Problem[];
  /** What the check came to, in the words of the command line. */
  readonly summary: readonly Phrase[];
  readonly profile: string | undefined;
  /** The files that it was checked with. */
  readonly checkedWith: readonly string[];
  readonly view: ImageBytesView;
}

/** Reads a file of any size as it is saved, and checks it as the command line does. */
export async function readImage(uri: vscode.Uri): Promise<Result<ReadImage>> {
  const workspace = createWorkspace(editorHost);
  return workspace.open(uri.toString(), { rows: 'needed' }, async ({ size, image, load }) => {
    const file = image();
    const view = file && readImageBytes(file);
    if (file === undefined || view === undefined)
      return refuse(phrase('This file is no memory image. Open it as text.'));
    const loaded = await load();
    if (!loaded.ok) return loaded;
    const { dump, name, profile, profileFile, backupFile } = loaded.value;
    const problems = checkDump(loaded.value);
    return done({
      notation: file.notation.id,
      size,
      problems,
      summary: summaryOf([{ name, verdict: verdictOf(loaded.value, problems) }]),
      profile: profile.kind === 'none' ? undefined : headerValue(dump, 'profile'),
      checkedWith: [profileFile, backupFile].filter((one) => one !== undefined),
      view,
    });
  });
}

/** The page of an image, and what it answers to its own questions. */
export interface ImagePage {
  readonly content: PageContent;
  readonly answer: (message: unknown) => PageAnswer | undefined;
}

/** The lines of a page, and what is said of an address that was asked for. */
export interface PageAnswer {
  readonly text: string;
  readonly page: number;
  /** The line of the page that was asked for. */
  readonly line?: number;
  readonly said: string;
}

export function imagePage(uri: vscode.Uri, image: ReadImage): ImagePage {
  const { view } = image;
  const pages = Math.max(1, Math.ceil(view.lines / LINES_ON_PAGE));
  const show = (wanted: number): PageAnswer => {
    const page = Math.min(pages - 1, Math.max(0, Math.trunc(wanted)));
    const said = vscode.l10n.t('Page {0} of {1}', page + 1, pages);
    return { text: view.text(page * LINES_ON_PAGE, LINES_ON_PAGE), page, said };
  };
  const name = nameOf(uri);
  return {
    content: { title: name, body: body(name, image, show(0)), style: STYLE, script: SCRIPT },
    answer: (message) => {
      const { page, address } = message as { readonly page?: unknown; readonly address?: unknown };
      if (typeof page === 'number') return show(page);
      const range = readAddressRange(String(address));
      if (range === undefined) return { ...show(0), said: vscode.l10n.t('An address is written in hex, such as 1F0.') };
      const line = view.lineOf(range.from);
      return { ...show(Math.floor(line / LINES_ON_PAGE)), line: line % LINES_ON_PAGE };
    },
  };
}

function body(name: string, image: ReadImage, first: PageAnswer): Html {
  return html`
<h1>${name}</h1>
<p>${summary(image)}</p>
<p class="muted">${vscode.l10n.t('This view is read-only. It says the same as "countersum check" on the command line.')}</p>
<h2 id="problems">${vscode.l10n.t('Problems')}</h2>
${problemsOf(image)}
<h2>${vscode.l10n.t('Regions')}</h2>
${regionTable(image.view)}
<h2 id="bytes-title">${vscode.l10n.t('Bytes')}</h2>
<form id="go"><label for="address">${vscode.l10n.t('Address')}</label>
<input id="address" class="mono" size="10" spellcheck="false" autocomplete="off">
<button type="submit">${vscode.l10n.t('Go')}</button>
<button type="button" class="secondary" id="previous">${vscode.l10n.t('Previous page')}</button>
<button type="button" class="secondary" id="next">${vscode.l10n.t('Next page')}</button>
<span id="said" role="status">${first.said}</span></form>
<pre id="bytes" class="mono" tabindex="0" role="region" aria-labelledby="bytes-title">${linesOf(first.text)}</pre>`;
}

function summary({ notation, size, view, profile }: ReadImage): string {
  const bytes = view.regions.reduce((sum, { from, to }) => sum + to - from + 1, 0);
  const count = bytes.toLocaleString(vscode.env.language);
  const title = formOf(notation)?.title;
  const form = title === undefined ? notation : say(title, vscode.l10n.bundle);
  const parts = [
    form,
    size < 1e6
      ? vscode.l10n.t('{0} kB of text', Math.ceil(size / 1000))
      : vscode.l10n.t('{0} MB of text', (size / 1e6).toFixed(1)),
    view.regions.length === 1
      ? vscode.l10n.t('{0} bytes in one region', count)
      : vscode.l10n.t('{0} bytes in {1} regions', count, view.regions.length),
    profile === undefined ? vscode.l10n.t('no profile') : profile,
  ];
  return parts.join(' · ');
}

function problemsOf({ problems, summary }: ReadImage): Html {
  const said = summary.map((one) => html`<p>${say(one, vscode.l10n.bundle)}</p>`);
  return html`${problems.length > 0 ? problemTable(problems) : ''}${said}`;
}

function problemTable(problems: readonly Problem[]): Html {
  const rows = shownProblems(problems, MOST_SHOWN).map(
    ({ row, start, message }) =>
      html`<tr><td class="mono">${row + 1}:${start + 1}</td><td>${say(message, vscode.l10n.bundle)}</td></tr>`,
  );
  const heads = [vscode.l10n.t('Row'), vscode.l10n.t('What is wrong')];
  return html`<table><thead>${headRow(heads)}</thead><tbody>${rows}</tbody></table>`;
}

function regionTable(view: ImageBytesView): Html {
  const crc = crcModel('CRC-32/ISO-HDLC');
  const crc32 = crc && checksumOf({ method: 'crc', model: undefined, ...crc });
  const rows = view.regions.slice(0, MOST_SHOWN).map((region) => {
    const bytes = view.bytesOf(region);
    const sum = bytes && crc32 ? hex(valueOver(crc32, bytes), 8) : '–';
    const [first, last] = [hex(region.from, 8), hex(region.to, 8)];
    const count = (region.to - region.from + 1).toLocaleString(vscode.env.language);
    return html`<tr><td><button type="button" class="link mono" data-address="${first}">${first}</button></td>
<td class="mono">${last}</td><td class="number">${count}</td><td class="mono">${sum}</td></tr>`;
  });
  const heads = [vscode.l10n.t('From'), vscode.l10n.t('To'), vscode.l10n.t('Bytes'), 'CRC-32'];
  return html`<table><thead>${headRow(heads)}</thead><tbody>${rows}</tbody></table>`;
}

const STYLE = `
form { display: flex; flex-wrap: wrap; gap: 0.5em; align-items: center; position: sticky; top: 0; padding: 0.5em 0; background: var(--vscode-editor-background); }
input { color: var(--vscode-input-foreground); background: var(--vscode-input-background); border: 1px solid var(--vscode-input-border, var(--vscode-contrastBorder, currentColor)); padding: 0.25em 0.4em; }
mark { color: inherit; background: none; font-weight: bold; outline: 1px solid var(--vscode-focusBorder); }
pre { margin: 0; line-height: 1.4; overflow-x: auto; }
td.number { text-align: right; }
button.link { color: var(--vscode-textLink-foreground); background: none; border: none; padding: 0; text-decoration: underline; }
button:disabled { opacity: 0.5; cursor: default; }
`;

const SCRIPT = `
const at = (id) => document.getElementById(id);
  let page = 0;
const ask = (question) => post(question);
at('go').addEventListener('submit', (event) => { event.preventDefault(); ask({ address: at('address').value }); });
at('previous').addEventListener('click', () => ask({ page: page - 1 }));
at('next').addEventListener('click', () => ask({ page: page + 1 }));
for (const button of document.querySelectorAll('[data-address]'))
  button.addEventListener('click', () => { ask({ address: button.dataset.address }); at('bytes').focus(); });
window.addEventListener('message', ({ data }) => {
  page = data.page;
  const lines = data.text.split('\\n');
  const asked = document.createElement('mark');
  asked.textContent = lines[data.line] ?? '';
  const around = (from, to) => lines.slice(from, to).map((line) => line + '\\n').join('');
  if (data.line === undefined) at('bytes').textContent = data.text;
  else at('bytes').replaceChildren(around(0, data.line), asked, '\\n' + around(data.line + 1));
  if (data.line !== undefined) asked.scrollIntoView({ block: 'center' });
  at('said').textContent = data.said;
});
`;
