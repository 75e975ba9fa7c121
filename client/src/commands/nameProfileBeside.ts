import * as vscode from 'vscode';
import type { Command } from '../command.js';
import { addHeadersBeside } from '../headersBeside.js';
import { goTo, nameOf } from '../places.js';
import { headersFile } from '../rawPair.js';
import { fileUri } from '../rawUri.js';
import { tellDone, warn } from '../ui.js';

/** The quick fix that names a profile for a dump whose form has no place for headers: it is written into the file beside it. */
export const nameProfileBeside: Command = {
  id: '_nameProfile',
  run: async (_, dump: string, profile: string) => {
    const uri = vscode.Uri.parse(dump);
    const why = await addHeadersBeside(uri, `@profile ${profile}\n`);
    if (why !== undefined) void warn(why);
    else tellDone(vscode.l10n.t('{0} names {1}.', nameOf(headersFile(fileUri(uri))), profile));
  },
};

/** The status of a dump that names no profile: its quick fixes are in the first line, with what tells several profiles apart. */
export const offerFitting: Command = {
  id: '_offerFitting',
  run: async ({ current }) => {
    const uri = current.document()?.uri;
    if (uri === undefined) return;
    const top = { line: 0, character: 0 };
    await goTo(uri, { start: top, end: top });
    await vscode.commands.executeCommand('editor.action.quickFix');
  },
};
