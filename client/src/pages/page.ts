import * as vscode from 'vscode';
import { literal } from '../../../shared-core/src/base/index.js';
import { type Html, html } from './html.js';

/** What a page of our own is made of. */
export interface PageContent {
  readonly title: string;
  readonly body: Html;
  /** Rules beside those that all pages share. */
  readonly style?: string;
  /** Runs in the page; `post` sends a message to the extension. */
  readonly script?: string;
}

/** A page: what it is called, and what it shows of what it is about. */
export interface Page<Shown> {
  /** Its view type is "countersum." and this. */
  readonly id: string;
  /** The editor brings it back when it starts again. */
  readonly returns?: true;
  /** It is an editor of files with these names, called "editor." and its id in package.nls.json. */
  readonly files?: string;
  readonly content: (shown: Shown) => PageContent;
}

interface Opening {
  readonly column?: vscode.ViewColumn;
  readonly preserveFocus?: boolean;
  /** Answers a message of the page's script. */
  readonly answer: (message: unknown) => unknown;
}

export function openPage<Shown>(
  page: Page<Shown>,
  shown: Shown,
  { column = vscode.ViewColumn.Active, preserveFocus = false, answer }: Opening,
): vscode.WebviewPanel {
  const content = page.content(shown);
  closeSame(`countersum.${page.id}`, literal(content.title));
  const place = { viewColumn: column, preserveFocus };
  const panel = vscode.window.createWebviewPanel(`countersum.${page.id}`, literal(content.title), place);
  fillPage(panel.webview, content, answer);
  return panel;
}

/** A page that is made anew takes the place of the one before: two of one name nobody can tell apart. */
function closeSame(type: string, title: string): void {
  const same = vscode.window.tabGroups.all.flatMap(({ tabs }) =>
    // The editor puts a word of its own before the type.
    tabs.filter(
      ({ input, label }) => input instanceof vscode.TabInputWebview && input.viewType.endsWith(type) && label === title,
    ),
  );
  if (same.length > 0) void vscode.window.tabGroups.close(same, true);
}

/** Shows a page in a view that is there already. */
export function fillPage(webview: vscode.Webview, content: PageContent, answer: Opening['answer']): void {
  webview.options = { enableScripts: true, localResourceRoots: [] };
  webview.onDidReceiveMessage(answer);
  webview.html = pageHtml(content);
}

/**
 * A page that loads nothing: its style and script are the ones that stand in it, marked by a number that is used once.
 * Colours and letters are those of the editor's theme.
 */
export function pageHtml({ title, body, style = '', script }: PageContent): string {
  const nonce = onceOnly();
  const policy = `default-src 'none'; style-src 'nonce-${nonce}'; script-src 'nonce-${nonce}'`;
  const scripts =
    script === undefined
      ? ''
      : `<script nonce="${nonce}">'use strict'; { const editor = acquireVsCodeApi(); const post = (message) => editor.postMessage(message);\n${script}\n}</script>`;
  return `<!DOCTYPE html>
<html lang="${html`${vscode.env.language}`.html}">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<title>${html`${title}`.html}</title>
<style nonce="${nonce}">${STYLE}${style}</style>
</head>
<body><main>${body.html}</main>${scripts}</body>
</html>`;
}

function onceOnly(): string {
  return [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}

const STYLE = `
body { color: var(--vscode-foreground); background: var(--vscode-editor-background); font-size: var(--vscode-font-size);
  font-family: var(--vscode-font-family); line-height: 1.5; padding: 0 1.5em 2em; }
main { max-width: 70em; }
h1 { font-size: 1.6em; font-weight: 600; margin: 1em 0 0.4em; }
h2 { font-size: 1.2em; font-weight: 600; margin: 1.6em 0 0.4em; }
h1, h2 { overflow-wrap: break-word; }
.wide { overflow-x: auto; }
table { border-collapse: collapse; }
th, td { text-align: left; vertical-align: top; padding: 0.35em 0.9em 0.35em 0; border-bottom: 1px solid var(--vscode-widget-border, var(--vscode-contrastBorder, currentColor)); }
th { font-weight: 600; }
code, .mono { font-family: var(--vscode-editor-font-family); font-size: var(--vscode-editor-font-size); }
.muted { color: var(--vscode-descriptionForeground); }
button { color: var(--vscode-button-foreground); background: var(--vscode-button-background); font: inherit;
  border: 1px solid var(--vscode-button-border, transparent); border-radius: 2px; padding: 0.25em 0.9em; cursor: pointer; white-space: nowrap; }
button:hover { background: var(--vscode-button-hoverBackground); }
button.secondary { color: var(--vscode-button-secondaryForeground); background: var(--vscode-button-secondaryBackground);
  white-space: normal; }
button.secondary:hover { background: var(--vscode-button-secondaryHoverBackground); }
:focus-visible { outline: 1px solid var(--vscode-focusBorder); outline-offset: 2px; }
.unseen { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); white-space: nowrap; }
`;
