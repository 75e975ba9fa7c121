import * as vscode from 'vscode';
import type { ShowPage } from './markdownPages.js';

/** The address under which a kind of problem is explained, but for its code: the list of problems links to it. */
export function problemAddress({ extension }: Pick<vscode.ExtensionContext, 'extension'>): string {
  return `${vscode.env.uriScheme}://${extension.id}${PATH}`;
}

const PATH = '/problem/';

/** Explains problems by the page that comes with the extension, so that it can be read where there is no network. */
export function explainProblems(
  { extensionUri }: Pick<vscode.ExtensionContext, 'extensionUri'>,
  showPage: ShowPage,
): vscode.Disposable {
  return vscode.window.registerUriHandler({
    handleUri: async ({ path }) => {
      if (!path.startsWith(PATH)) return;
      const reference = vscode.Uri.joinPath(extensionUri, 'docs/reference/diagnostics.md');
      const page = new TextDecoder().decode(await vscode.workspace.fs.readFile(reference));
      const code = path.slice(PATH.length);
      const row = page.split('\n').find((line) => line.startsWith(`| \`${code}\` |`));
      const [, , severity, meaning] = row?.split(/(?<!\\)\|/).map((cell) => cell.trim()) ?? [];
      // An address may come from anywhere: a code that the page does not have is not shown.
      if (meaning === undefined) await showPage(vscode.l10n.t('Problems'), page);
      else await showPage(code, `# ${code}\n\n*${severity}* · ${meaning}\n\n${page.replace(/^# /, '## ')}`);
    },
  });
}
