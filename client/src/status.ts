import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { STATUS, type StatusResult } from '../../shared-core/src/index.js';
import { DUMP_LANGUAGES, isDump } from './activeDump.js';

/** The language status item of the active dump: its profile, whether its sums are right, how far it is from the backup. */
export function registerStatus(client: BaseLanguageClient): vscode.Disposable {
  const item = vscode.languages.createLanguageStatusItem(
    'countersum.status',
    DUMP_LANGUAGES.map((language) => ({ language })),
  );
  item.name = 'Countersum';
  const update = async (): Promise<void> => {
    const document = vscode.window.activeTextEditor?.document;
    if (!document || !isDump(document) || !client.isRunning()) return;
    const status = await client.sendRequest<StatusResult | null>(STATUS, { uri: document.uri.toString() });
    if (status === null) return;
    const { profile, errors, warnings, differences } = status;
    item.text =
      errors + warnings === 0
        ? vscode.l10n.t('All sums right')
        : vscode.l10n.t('{0} errors, {1} warnings', errors, warnings);
    item.severity =
      errors > 0
        ? vscode.LanguageStatusSeverity.Error
        : warnings > 0
          ? vscode.LanguageStatusSeverity.Warning
          : vscode.LanguageStatusSeverity.Information;
    item.detail = [
      profile === null ? vscode.l10n.t('no profile') : profile,
      ...(differences === null ? [] : [vscode.l10n.t('{0} bytes differ from the backup', differences)]),
    ].join(' · ');
    item.command =
      differences === null
        ? { title: vscode.l10n.t('Make a Backup'), command: 'countersum.makeBackup' }
        : { title: vscode.l10n.t('Compare'), command: 'countersum.compareWithBackup' };
  };
  return vscode.Disposable.from(
    item,
    vscode.window.onDidChangeActiveTextEditor(update),
    vscode.languages.onDidChangeDiagnostics(update),
  );
}
