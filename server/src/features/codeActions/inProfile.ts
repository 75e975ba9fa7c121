import { oneLine, phrase } from '../../../../shared-core/src/base/index.js';
import { confirmingWish, namesIn } from '../../../../shared-core/src/jobs/index.js';
import { changeProfile } from '../../../../shared-core/src/learn/index.js';
import { readProfile } from '../../../../shared-core/src/profile/index.js';
import type { InitializationOptions } from '../../../../shared-core/src/protocol/initialization.js';
import type { ChangeProfileResult } from '../../../../shared-core/src/protocol/learning.js';
import { basesOf } from '../../bases.js';
import type { JsonSnapshot } from '../../documents.js';
import { type CodeAction, CodeActionKind, type Range, TextDocumentEdit } from '../../lsp.js';
import type { Session } from '../../session.js';
import { toFilesEdit } from '../../toLsp.js';
import { sumsInDoubt } from '../unconfirmedSums.js';

/** What can be done in a profile: a wrong option is taken out, and the guess from a file sum that dumps confirm. */
export async function actionsInProfile(
  session: Session,
  open: JsonSnapshot,
  range: Range,
  only: readonly string[] | undefined,
): Promise<CodeAction[]> {
  if (open.kind !== 'profile' || (only !== undefined && !only.includes(CodeActionKind.QuickFix))) return [];
  return [...(await removals(session, open, range)), ...(await confirmations(session, open, range))];
}

/** At a file sum that is only a guess, where dumps as they were read confirm it. */
async function confirmations(session: Session, open: JsonSnapshot, { start, end }: Range): Promise<CodeAction[]> {
  const { uri, document } = open;
  const text = document.getText();
  const [from, to] = [document.offsetAt(start), document.offsetAt(end)];
  const isHere = ({ start: first, end: last }: { readonly start: number; readonly end: number }) =>
    first <= to && from <= last;
  const bases = await basesOf(session, uri, text);
  const { totals } = readProfile(text, bases).profile;
  if (!totals.some(({ confidence, source }) => confidence === 'guess' && source.file === undefined && isHere(source)))
    return [];
  const sums = (await sumsInDoubt(session, uri)).filter(({ at }) => isHere(at));
  const wish = confirmingWish(sums);
  const edits = wish && changeProfile(text, wish, bases);
  const [first, second] = sums[0]?.by ?? [];
  if (edits === undefined || !edits.ok || first === undefined || second === undefined) return [];
  const said = phrase('No Guess Any More: {0} and {1} Confirm It', first.name, second.name);
  return [
    {
      title: oneLine(session.say(said)),
      kind: CodeActionKind.QuickFix,
      edit: toFilesEdit(session, [changesOf(open, edits.value)]),
    },
  ];
}

/** At an option: it is taken out, where the profile is good without it. */
async function removals(session: Session, open: JsonSnapshot, { start, end }: Range): Promise<CodeAction[]> {
  const { uri, document } = open;
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
  return [{ ...action, edit: toFilesEdit(session, [changesOf(open, edits.value)]) }];
}

function changesOf({ uri, version, document }: JsonSnapshot, edits: ChangeProfileResult['edits']): TextDocumentEdit {
  const changes = edits.map(({ offset, length, text: newText }) => ({
    range: { start: document.positionAt(offset), end: document.positionAt(offset + length) },
    newText,
  }));
  return TextDocumentEdit.create({ uri, version }, changes);
}
