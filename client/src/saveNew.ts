import * as vscode from 'vscode';
import { isDump } from './activeDump.js';
import { FORMS } from './forms.js';
import { headerIn } from './headersBeside.js';
import { exists, partOfName, writeText } from './newFile.js';
import { nameOf } from './places.js';
import { warn } from './ui.js';

/**
 * Saves a text that is in no file yet. The editor would call it like the first words in it, which are bytes; here it is called
 * like its vehicle and its module. Undefined where the person goes away.
 */
export async function saveNew(document: vscode.TextDocument): Promise<vscode.TextDocument | undefined> {
  await vscode.window.showTextDocument(document);
  // It has its name already.
  if (document.uri.path.lastIndexOf('/') > 0) {
    await vscode.commands.executeCommand('workbench.action.files.save');
    const saved = vscode.window.activeTextEditor?.document;
    return saved?.isUntitled === false ? saved : undefined;
  }
  const folder = vscode.workspace.workspaceFolders?.[0]?.uri;
  const target = await vscode.window.showSaveDialog({
    title: vscode.l10n.t('Where is the dump saved? Its vehicle has a folder of its own.'),
    ...(folder && { defaultUri: vscode.Uri.joinPath(folder, nameFor(document)) }),
  });
  if (target === undefined) return undefined;
  if (await exists(target)) {
    void warn(vscode.l10n.t('{0} is there already and stays as it is. Choose another name.', nameOf(target)));
    return undefined;
  }
  const { languageId } = document;
  const text = document.getText();
  await writeText(target, text);
  await vscode.window.showTextDocument(document);
  // Only what is in the file now is closed: neither another text nor what was typed meanwhile.
  if (vscode.window.activeTextEditor?.document === document && document.getText() === text)
    await vscode.commands.executeCommand('workbench.action.revertAndCloseActiveEditor');
  const opened = await vscode.workspace.openTextDocument(target);
  const saved = isDump(opened) ? opened : await vscode.languages.setTextDocumentLanguage(opened, languageId);
  await vscode.window.showTextDocument(saved, { preview: false });
  return saved;
}

/** Of which vehicle and of which module it is, as far as its headers say. */
function nameFor(document: vscode.TextDocument): string {
  const text = document.getText();
  const said = (header: string) => headerIn(text, header) ?? '';
  const words = [said('vehicle') || said('vin'), said('module') || said('part')];
  const stem = words
    .map(partOfName)
    .filter((word) => word !== '')
    .join('-');
  const form = FORMS.find(({ language }) => language === document.languageId);
  return `${stem || 'dump'}.${form?.endings[0] ?? 'cfgdump'}`;
}
