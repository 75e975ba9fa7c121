import * as vscode from 'vscode';
import { warn } from '../ui.js';

/** Says why a profile is wanted, with a button to learn one. */
export async function offerToLearn(dump: vscode.Uri, said: string): Promise<void> {
  if ((await warn(said, 'learn')) === 'learn')
    await vscode.commands.executeCommand('countersum.learn', dump.toString());
}
