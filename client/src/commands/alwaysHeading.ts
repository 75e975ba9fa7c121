import * as vscode from 'vscode';
import type { Command } from '../command.js';
import { changeProfileText } from '../profileText.js';

/** *Always a Heading in This Module*: the quick fix of a line that holds hex digits and no data, or of all of them at once. */
export const alwaysHeading: Command = {
  id: '_alwaysHeading',
  run: async ({ client }, _dump: string, headings: string | readonly string[], profile: string | null) => {
    if (profile === null) return;
    const all = typeof headings === 'string' ? [headings] : headings;
    const said =
      typeof headings === 'string'
        ? vscode.l10n.t('"{0}" is a heading in all dumps of this module now.', headings)
        : vscode.l10n.t('{0} headings are in the profile now, for all dumps of this module.', all.length);
    await changeProfileText(client, vscode.Uri.parse(profile), { kind: 'headings', headings: all }, said);
  },
};
