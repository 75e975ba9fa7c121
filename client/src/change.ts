import * as vscode from 'vscode';
import type { WorkspaceEdit } from 'vscode-languageclient';
import type { Services } from './services.js';
import { confirmRisk, warn } from './ui.js';

/** An edit that the server made for a version of a dump, and what a person must know before it is written. */
export interface Change {
  readonly edit: unknown;
  readonly version: number;
  readonly inFull: readonly string[];
  readonly cautions: readonly string[];
}

/** Makes a change, once its cautions were read, where the dump is still the one it was computed for; undefined where it is not made. */
export async function makeChange(
  { client, write }: Pick<Services, 'client' | 'write'>,
  document: vscode.TextDocument,
  { edit, version, inFull, cautions }: Change,
): Promise<string | undefined> {
  if (!(await acceptsCautions(cautions, inFull))) return undefined;
  if (document.version !== version) {
    void warn(vscode.l10n.t('The dump has changed meanwhile. Run the command again.'));
    return undefined;
  }
  return write(await client.protocol2CodeConverter.asWorkspaceEdit(edit as WorkspaceEdit));
}

/** Whether a change may be written in spite of what it touches: the person sees what is written, then what to be careful about. */
async function acceptsCautions(cautions: readonly string[], inFull: readonly string[]): Promise<boolean> {
  if (cautions.length === 0) return true;
  return confirmRisk(vscode.l10n.t('Write this change into the dump?'), 'write', [...inFull, ...cautions]);
}
