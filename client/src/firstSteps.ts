import * as vscode from 'vscode';

/** The steps of the walkthrough that are ticked once they were done; package.json names these contexts. */
export type FirstStep = 'openDemo' | 'correctChecksums' | 'setOption' | 'compare' | 'makeBackup' | 'learn';

/** Ticks a step of the walkthrough. */
export function tick(step: FirstStep): void {
  void vscode.commands.executeCommand('setContext', `countersum.did.${step}`, true);
}
