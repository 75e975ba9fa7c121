import * as vscode from 'vscode';
import type { HeaderPlace } from '../../shared-core/src/protocol/learning.js';
import { isDump } from './activeDump.js';
import { nameOf } from './places.js';
import { saveNew } from './saveNew.js';
import { warn } from './ui.js';

/** A dump that has a folder, and where it is to name its profile. */
interface Placed {
  readonly dump: vscode.Uri;
  readonly naming: HeaderPlace | null;
}

/**
 * A text that is in no file yet is saved first, as its profile goes into the same folder; undefined where it is not. One that was
 * saved from elsewhere meanwhile has another address, and is known by its `text`.
 */
export async function savedFirst({ dump, naming }: Placed, text?: string): Promise<Placed | undefined> {
  if (dump.scheme !== 'untitled') return { dump, naming };
  const before = vscode.workspace.textDocuments.find(({ uri }) => uri.toString() === dump.toString());
  if (before === undefined) {
    const same = vscode.workspace.textDocuments.filter(
      (one) => !one.isUntitled && isDump(one) && one.getText() === text,
    );
    if (same[0] !== undefined && same.length === 1)
      return { dump: same[0].uri, naming: naming && { ...naming, version: same[0].version } };
    void warn(vscode.l10n.t('{0} was saved or closed meanwhile. Work out the rule in the saved dump.', nameOf(dump)));
    return undefined;
  }
  const isSame = naming === null || naming.version === null || before.version === naming.version;
  const after = await saveNew(before);
  // What has changed since is refused as it would be in the same text.
  return after && { dump: after.uri, naming: naming && { ...naming, version: isSame ? after.version : -1 } };
}
