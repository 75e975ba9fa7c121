import * as vscode from 'vscode';
import type { BaseLanguageClient, WorkspaceEdit } from 'vscode-languageclient';
import { confirm, warn } from './ui.js';

/** An edit that the server made for a version of a dump, and what a person must know before it is written. */
export interface Change {
  readonly edit: unknown;
  readonly version: number;
  readonly inFull: readonly string[];
  readonly cautions: readonly string[];
}

/** Makes a change, once its cautions were read, where the dump is still the one it was computed for. */
export async function makeChange(
  client: BaseLanguageClient,
  document: vscode.TextDocument,
  { edit, version, inFull, cautions }: Change,
): Promise<boolean> {
  if (!(await acceptsCautions(cautions, inFull))) return false;
  if (document.version !== version) {
    void warn(vscode.l10n.t('The dump has changed meanwhile. Run the command again.'));
    return false;
  }
  return vscode.workspace.applyEdit(await client.protocol2CodeConverter.asWorkspaceEdit(edit as WorkspaceEdit));
}

/** Whether a change may be written in spite of what it touches: the person sees what is written, then what to be careful about. */
export async function acceptsCautions(cautions: readonly string[], inFull: readonly string[] = []): Promise<boolean> {
  if (cautions.length === 0) return true;
  return confirm(vscode.l10n.t('Write this change into the dump?'), 'write', [...inFull, ...cautions]);
}
