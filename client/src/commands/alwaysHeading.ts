import * as vscode from 'vscode';
import type { Command } from '../command.js';
import { changeProfileText } from '../profileText.js';

/** *Always a Heading in This Module*: the quick fix of a line that holds hex digits and no data. */
export const alwaysHeading: Command = {
  id: '_alwaysHeading',
  run: async ({ client }, _dump: string, heading: string, profile: string | null) => {
    if (profile === null) return;
    const said = vscode.l10n.t('"{0}" is a heading in all dumps of this module now.', heading);
    await changeProfileText(client, vscode.Uri.parse(profile), { kind: 'heading', heading }, said);
  },
};
