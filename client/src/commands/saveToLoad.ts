import * as vscode from 'vscode';
import { bytesOfBase64 } from '../../../shared-core/src/base/index.js';
import type { DumpParams } from '../../../shared-core/src/protocol/common.js';
import { TEXT_TO_LOAD, type TextToLoadResult } from '../../../shared-core/src/protocol/convert.js';
import { type Command, onDump } from '../command.js';
import { exists } from '../newFile.js';
import { nameOf } from '../places.js';
import { fileUri, isRaw } from '../rawUri.js';
import { inform, warn } from '../ui.js';
import { HAS_DUMP } from './conditions.js';

/** *Save Without Headers…*: the dump as a file for the program that loads it into the module. */
export const saveToLoad: Command = {
  id: 'saveToLoad',
  title: 'Save Without Headers…',
  does: 'saves a copy of the dump without the lines that begin with `@`, for the program that loads it into the module; refused where the check of the dump finds anything',
  when: HAS_DUMP,
  run: onDump(async ({ ask }, document) => {
    if (isRaw(document.uri)) {
      void inform(vscode.l10n.t('{0} holds the bytes alone: save it and load that file.', nameOf(document.uri)));
      return;
    }
    const params: DumpParams = { uri: document.uri.toString() };
    const result = await ask<TextToLoadResult>(TEXT_TO_LOAD, params);
    if (result === undefined) return;
    const file = fileUri(document.uri);
    const defaultUri = vscode.Uri.joinPath(file, '..', result.name);
    const target = await vscode.window.showSaveDialog({
      defaultUri,
      title: vscode.l10n.t('Where is the file to load saved?'),
    });
    if (target === undefined) return;
    // It may be the dump, its backup or its profile: none of them is ever replaced by a copy.
    if (await exists(target)) {
      void warn(vscode.l10n.t('{0} is there already and stays as it is. Choose another name.', nameOf(target)));
      return;
    }
    await vscode.workspace.fs.writeFile(target, bytesOfBase64(result.base64));
    void inform(
      vscode.l10n.t(
        '{0} is the dump without its headers. Load it into the module as the job card says.',
        nameOf(target),
      ),
    );
  }),
};
