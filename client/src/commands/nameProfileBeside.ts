import * as vscode from 'vscode';
import type { Command } from '../command.js';
import { addHeadersBeside } from '../headersBeside.js';
import { nameOf } from '../places.js';
import { headersFile } from '../rawPair.js';
import { fileUri } from '../rawUri.js';
import { inform, warn } from '../ui.js';

/** The quick fix that names a profile for a dump whose form has no place for headers: it is written into the file beside it. */
export const nameProfileBeside: Command = {
  id: '_nameProfile',
  run: async (_, dump: string, profile: string) => {
    const uri = vscode.Uri.parse(dump);
    const why = await addHeadersBeside(uri, `@profile ${profile}\n`);
    if (why !== undefined) void warn(why);
    else void inform(vscode.l10n.t('{0} names {1}.', nameOf(headersFile(fileUri(uri))), profile));
  },
};
