import * as vscode from 'vscode';
import { bullets, literal, plain } from '../../../shared-core/src/base/index.js';
import { COMPARE, type CompareParams, type CompareResult } from '../../../shared-core/src/protocol/compare.js';
import type { AskServer } from '../ask.js';
import { tick } from '../firstSteps.js';
import type { ShowPage } from '../pages/markdownPages.js';
import { nameOf } from '../places.js';
import { inform, tellAll } from '../ui.js';
import type { Changes } from './changesView.js';

/** Of the addresses of texts that are made for a comparison. */
export const COMPARE_SCHEME = 'countersum';

export interface Comparison extends vscode.Disposable {
  /** Shows a dump beside another one, or its backup where none is given. */
  readonly show: (document: vscode.TextDocument, other?: vscode.Uri) => Promise<void>;
}

/**
 * The editor's own side-by-side view. Its left side is the other dump in the spelling of this one, so that only bytes
 * differ; what changed is said in words beside it.
 */
export function createComparison(ask: AskServer, showPage: ShowPage, { compareWith }: Changes): Comparison {
  const sides = new Map<string, string>();
  const changed = new vscode.EventEmitter<vscode.Uri>();
  const disposable = vscode.Disposable.from(
    changed,
    vscode.workspace.registerTextDocumentContentProvider(COMPARE_SCHEME, {
      onDidChange: changed.event,
      provideTextDocumentContent: (uri) => sides.get(uri.toString()) ?? '',
    }),
    vscode.workspace.onDidCloseTextDocument(({ uri }) => sides.delete(uri.toString())),
  );
  return {
    show: async ({ uri }, other) => {
      const params: CompareParams = { uri: uri.toString(), ...(other && { other: other.toString() }) };
      const result = await ask<CompareResult>(COMPARE, params);
      if (result === undefined) return;
      const name = nameOf(vscode.Uri.parse(result.otherUri));
      const left = vscode.Uri.from({ scheme: COMPARE_SCHEME, path: `/${name}`, query: uri.toString() });
      sides.set(left.toString(), result.text);
      changed.fire(left);
      const title = vscode.l10n.t('{0} ↔ {1}', name, nameOf(uri));
      await vscode.commands.executeCommand('vscode.diff', left, uri, literal(title));
      compareWith(other);
      tick('compare');
      // The message stays until it is read; the command is done before.
      void showSummary(result, showPage);
    },
    dispose: () => disposable.dispose(),
  };
}

/** Lines that a message in front of everything has room for. */
const MOST_AT_ONCE = 20;

/** Lines of a summary that a notice has room for. */
const MOST_LINES = 3;

/** Characters that a notice has room for. */
const MOST = 180;

/** All of it where that fits into a message; else without the single bytes, as many lines as fit, and the whole on request. */
async function showSummary({ summary, inShort }: CompareResult, showPage: ShowPage): Promise<void> {
  const fits = (lines: readonly string[]) => lines.length <= MOST_LINES && lines.join(' · ').length <= MOST;
  if (fits(summary)) return void (await inform(summary.join(' · ')));
  const shortened = [3, 2, 1].map((count) => {
    const more = inShort.length - count;
    const left = more > 0 ? ` · ${vscode.l10n.t('and {0} more', more)}` : '';
    return inShort.slice(0, count).join(' · ') + left;
  });
  const text = shortened.find(({ length }) => length <= MOST) ?? shortened.at(-1) ?? '';
  const chosen = await inform(text, 'showAll');
  if (chosen !== 'showAll') return;
  const title = vscode.l10n.t('What changed');
  // What is few is in front of everything at once; a page takes a while to come, and may come behind other tabs.
  if (summary.length <= MOST_AT_ONCE) return tellAll(title, summary);
  await showPage(title, `# ${title}\n\n${bullets(summary.map(plain))}\n`);
}
