import * as vscode from 'vscode';

/** What the buttons of notices and questions say: so short that all of one are whole (`test/client/labels`). */
export const BUTTONS = {
  addLine: () => vscode.l10n.t('Add the Line'),
  addAlone: () => vscode.l10n.t('Add It Alone'),
  bringIn: () => vscode.l10n.t('Bring In a Dump…'),
  chooseAgain: () => vscode.l10n.t('Choose Again'),
  compare: () => vscode.l10n.t('Show Side by Side'),
  isForModule: () => vscode.l10n.t('It Is for This Module'),
  isOfVehicle: () => vscode.l10n.t('It Is of This Vehicle'),
  keep: () => vscode.l10n.t('Keep in the Folder'),
  learn: () => vscode.l10n.t('Work Out the Checksum Rule'),
  makeBackup: () => vscode.l10n.t('Make a Backup'),
  makeBackupFirst: () => vscode.l10n.t('Make a Backup First'),
  noteSeen: () => vscode.l10n.t('Note in Profile…'),
  ok: () => vscode.l10n.t('OK'),
  openBytes: () => vscode.l10n.t('Open Its Bytes'),
  openDumpText: () => vscode.l10n.t('Open as Dump Text'),
  openFolder: () => vscode.l10n.t('Open Folder'),
  openProfile: () => vscode.l10n.t('Open Profile'),
  openView: () => vscode.l10n.t('Open Read-Only View'),
  print: () => vscode.l10n.t('Keep for Printing'),
  remove: () => vscode.l10n.t('Remove'),
  replace: () => vscode.l10n.t('Replace'),
  saveDump: () => vscode.l10n.t('Save the Dump'),
  saveThem: () => vscode.l10n.t('Save Them'),
  setAllTheSame: () => vscode.l10n.t('Set It All the Same'),
  setAsPlanned: () => vscode.l10n.t('Set as Planned'),
  showAll: () => vscode.l10n.t('Show All'),
  showProblems: () => vscode.l10n.t('Show the Problems'),
  treatAsDump: () => vscode.l10n.t('Treat as a Dump'),
  useForSimilar: () => vscode.l10n.t('Use Profile in Similar Dumps'),
  widen: () => vscode.l10n.t('Widen'),
  withoutBackup: () => vscode.l10n.t('Set without a Backup'),
  write: () => vscode.l10n.t('Write It'),
} as const;

export type Button = keyof typeof BUTTONS;
