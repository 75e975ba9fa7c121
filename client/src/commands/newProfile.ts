import * as vscode from 'vscode';
import type { HeaderPlace } from '../../../shared-core/src/protocol/learning.js';
import { addHeadersBeside } from '../headersBeside.js';
import { firstFree, namesLike, writeText } from '../newFile.js';
import { nameOf } from '../places.js';
import { savedFirst } from '../savedFirst.js';
import { askText, tellDone, warn } from '../ui.js';
import type { Writing } from '../writeEdit.js';

/** The text of a draft, and what the module of it may be called. */
export interface Draft {
  readonly text: string;
  readonly title: string;
  /** The text of the dump that it was worked out from. */
  readonly from?: string | undefined;
}

/**
 * Asks what the module is called and writes a draft of its profile beside a dump, never over another file, and names it
 * in the dump where a place for that is given. Undefined where none was written.
 */
export async function keepDraft(
  services: Pick<Writing, 'write'>,
  given: vscode.Uri,
  { text, title, from }: Draft,
  place: HeaderPlace | null,
): Promise<vscode.Uri | undefined> {
  const placed = await savedFirst({ dump: given, naming: place }, from);
  if (placed === undefined) return undefined;
  const { dump, naming } = placed;
  const module = await askText({
    title: vscode.l10n.t('What is the module called?'),
    prompt: vscode.l10n.t('Job cards and lists call it so. It can be changed in the profile later.'),
    // What is offered for a file of which nothing is known says nothing of the module.
    value: /^dump\b/i.test(title) ? '' : title,
    check: async (written) =>
      written.trim() === ''
        ? { says: vscode.l10n.t('Write a name by which to tell the module from others.'), takes: false }
        : undefined,
  });
  if (module === undefined) return undefined;
  const target = await firstFree(dump, namesLike(dump, 'dump-profile.json'));
  if (target === undefined) {
    void warn(vscode.l10n.t('All names for a profile are taken here. Move old ones away first.'));
    return undefined;
  }
  const name = nameOf(target);
  const files = naming === null ? '' : await nameProfile(services, dump, naming, name);
  if (files === undefined) return undefined;
  await writeText(target, titled(text, module.trim()));
  const said =
    naming === null
      ? vscode.l10n.t('Draft {0}. The dump still names another.', name)
      : naming.isBeside
        ? vscode.l10n.t('Draft {0}, named beside the dump.', name)
        : files === ''
          ? vscode.l10n.t('Draft {0}. Save the dump too.', name)
          : vscode.l10n.t('Draft {0}, named in the dump.', name);
  // The *Job* view offers it for other dumps; a notice would go on offering it.
  tellDone(said, naming?.isBeside === true ? '' : files);
  return target;
}

/** A draft under another title, which it has already. */
function titled(text: string, title: string): string {
  const draft: unknown = JSON.parse(text);
  return `${JSON.stringify(Object.assign({}, draft, { title }), null, 2)}\n`;
}

export function saveToKeep(): string {
  return vscode.l10n.t('Save the dump.');
}

/**
 * Names a profile in a dump, and says what became of its file; not where the dump has changed since it was looked at, which
 * the person is told.
 */
export async function nameProfile(
  { write }: Pick<Writing, 'write'>,
  dump: vscode.Uri,
  naming: HeaderPlace,
  name: string,
): Promise<string | undefined> {
  if (naming.isBeside) {
    const why = await addHeadersBeside(dump, `${naming.before}${name}${naming.after}`);
    if (why !== undefined) void warn(why);
    return why === undefined ? '' : undefined;
  }
  const document = await vscode.workspace.openTextDocument(dump);
  if (naming.version !== null && document.version !== naming.version) {
    void warn(vscode.l10n.t('The dump has changed since. Nothing was written; search again.'));
    return undefined;
  }
  const edit = new vscode.WorkspaceEdit();
  edit.insert(dump, new vscode.Position(naming.line, naming.column), `${naming.before}${name}${naming.after}`);
  return write(edit);
}
