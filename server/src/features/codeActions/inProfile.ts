import { type CodeAction, CodeActionKind, type Range, TextDocumentEdit } from 'vscode-languageserver';
import {
  changeProfile,
  type InitializationOptions,
  namesIn,
  oneLine,
  phrase,
  readProfile,
} from '../../../../shared-core/src/index.js';
import { basesOf } from '../../bases.js';
import type { JsonSnapshot } from '../../documents.js';
import type { Session } from '../../session.js';
import { toFilesEdit } from '../../toLsp.js';

/** What can be done at an option of a profile: it is taken out, where the profile is good without it. */
export async function actionsInProfile(
  session: Session,
  { kind, uri, version, document }: JsonSnapshot,
  { start, end }: Range,
  only: readonly string[] | undefined,
): Promise<CodeAction[]> {
  if (kind !== 'profile' || (only !== undefined && !only.includes(CodeActionKind.QuickFix))) return [];
  const text = document.getText();
  const [from, to] = [document.offsetAt(start), document.offsetAt(end)];
  const here = namesIn('profile', text)?.options.find(
    ({ role, whole }) => role === 'described' && whole.start <= from && to <= whole.end,
  );
  if (here === undefined) return [];
  const { id } = here;
  const bases = await basesOf(session, uri, text);
  const edits = changeProfile(text, { kind: 'remove', id }, bases);
  if (!edits.ok) return [];
  const name = readProfile(text, bases).profile.options.find((option) => option.id === id)?.title ?? id;
  const title = oneLine(session.say(phrase('Remove "{0}" from This Profile', name)));
  const action = { title, kind: CodeActionKind.QuickFix };
  // A client with the commands asks first.
  const { commands } = (session.client.initializationOptions ?? {}) as InitializationOptions;
  if (commands === true)
    return [{ ...action, command: { title, command: 'countersum._removeOption', arguments: [uri, id, name] } }];
  const changes = edits.value.map(({ offset, length, text: newText }) => ({
    range: { start: document.positionAt(offset), end: document.positionAt(offset + length) },
    newText,
  }));
  return [{ ...action, edit: toFilesEdit(session, [TextDocumentEdit.create({ uri, version }, changes)]) }];
}
