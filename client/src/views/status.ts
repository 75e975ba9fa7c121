import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { literal } from '../../../shared-core/src/base/index.js';
import { STATUS, type StatusResult } from '../../../shared-core/src/protocol/status.js';
import type { CurrentDump } from '../currentDump.js';
import { DUMP_LANGUAGES } from '../forms.js';

/** What the editor says of the language of a dump: its profile, its sums, how far it is from its backup; each with what to do. */
export function createStatus(client: BaseLanguageClient, current: CurrentDump): vscode.Disposable {
  const profile = newItem('countersum.profile', vscode.l10n.t('Profile of the dump'));
  const sums = newItem('countersum.sums', vscode.l10n.t('Sums of the dump'));
  const backup = newItem('countersum.backup', vscode.l10n.t('Backup of the dump'));
  const update = async (): Promise<void> => {
    const document = current.document();
    if (!document || !client.isRunning()) return;
    const status = await client.sendRequest<StatusResult | null>(STATUS, { uri: document.uri.toString() });
    if (status === null || document !== current.document()) return;
    await vscode.commands.executeCommand('setContext', 'countersum.withoutProfile', status.profile === null);
    await vscode.commands.executeCommand('setContext', 'countersum.withoutBackup', typeof status.backup !== 'number');
    Object.assign(profile, profileStatus(status));
    Object.assign(sums, sumStatus(status));
    Object.assign(backup, backupStatus(status));
  };
  void update();
  return vscode.Disposable.from(profile, sums, backup, current.onDidChange(update), client.onDidChangeState(update));
}

type Shown = Pick<vscode.LanguageStatusItem, 'text' | 'severity' | 'command'>;

const SHOW_PROBLEMS = 'workbench.actions.view.problems';

function newItem(id: string, name: string): vscode.LanguageStatusItem {
  const item = vscode.languages.createLanguageStatusItem(
    id,
    DUMP_LANGUAGES.map((language) => ({ language })),
  );
  item.name = name;
  return item;
}

function profileStatus({ profile, state, fitting }: StatusResult): Shown {
  const { Warning, Information } = vscode.LanguageStatusSeverity;
  const [first, ...others] = fitting;
  if (first !== undefined)
    return {
      text: literal(
        others.length === 0
          ? vscode.l10n.t('No profile is named; {0} fits', first)
          : vscode.l10n.t('No profile is named; {0} fit', fitting.length),
      ),
      severity: Warning,
      command: { title: vscode.l10n.t('Name the Profile…'), command: 'countersum._offerFitting' },
    };
  const problems = { title: vscode.l10n.t('Show the Problems'), command: SHOW_PROBLEMS };
  const workOut = { title: vscode.l10n.t('Work Out the Checksum Rule'), command: 'countersum.learn' };
  switch (state) {
    case 'unknown':
      return { text: vscode.l10n.t('This form is not known yet'), severity: Warning, command: workOut };
    case 'none':
      return {
        text: vscode.l10n.t('No profile: its sums and options are not known'),
        severity: Warning,
        command: workOut,
      };
    case 'unreadable':
      return { text: vscode.l10n.t('The profile cannot be read'), severity: Warning, command: problems };
    case 'stale': {
      const text = vscode.l10n.t('Profile: {0} (its last good version)', profile ?? '');
      return { text: literal(text), severity: Warning, command: problems };
    }
    case 'read':
      return {
        text: literal(vscode.l10n.t('Profile: {0}', profile ?? '')),
        severity: Information,
        command: { title: vscode.l10n.t('Set an Option'), command: 'countersum.setOption' },
      };
  }
}

function sumStatus({ good, errors, warnings, account }: StatusResult): Shown {
  if (errors + warnings > 0) {
    const counts = vscode.l10n.t('Errors: {0}, warnings: {1}', errors, warnings);
    return {
      text: account === null ? counts : literal(`${counts} · ${account}`),
      severity: errors > 0 ? vscode.LanguageStatusSeverity.Error : vscode.LanguageStatusSeverity.Warning,
      command: { title: vscode.l10n.t('Show the Problems'), command: SHOW_PROBLEMS },
    };
  }
  const text = good ? vscode.l10n.t('All sums right') : vscode.l10n.t('Nothing wrong is known');
  return { text, severity: vscode.LanguageStatusSeverity.Information, command: undefined };
}

function backupStatus({ backup }: StatusResult): Shown {
  if (backup === 'unreadable') {
    return {
      text: vscode.l10n.t('The backup cannot be read'),
      severity: vscode.LanguageStatusSeverity.Error,
      command: { title: vscode.l10n.t('Show the Problems'), command: SHOW_PROBLEMS },
    };
  }
  if (backup === 'none') {
    return {
      text: vscode.l10n.t('No backup'),
      severity: vscode.LanguageStatusSeverity.Warning,
      command: { title: vscode.l10n.t('Make a Backup'), command: 'countersum.makeBackup' },
    };
  }
  return {
    text: differencesInWords(backup),
    severity: vscode.LanguageStatusSeverity.Information,
    command: { title: vscode.l10n.t('Compare'), command: 'countersum.compareWithBackup' },
  };
}

function differencesInWords(count: number): string {
  if (count === 0) return vscode.l10n.t('As in the backup');
  return count === 1
    ? vscode.l10n.t('1 byte differs from the backup')
    : vscode.l10n.t('{0} bytes differ from the backup', count);
}
