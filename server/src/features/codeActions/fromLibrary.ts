import { type CodeAction, CodeActionKind } from 'vscode-languageserver';
import {
  canonicalUri,
  explainsWhole,
  fileName,
  type IndexedProfile,
  type InitializationOptions,
  indexedProfile,
  isUnsaved,
  oneLine,
  type Phrase,
  phrase,
  profileInWords,
  relativePath,
  searchLibrary,
  valueIn,
  whyNotNamed,
} from '../../../../shared-core/src/index.js';
import { profilesAround } from '../../profileFolders.js';
import type { Session } from '../../session.js';
import type { pauses } from '../../slices.js';
import { toWorkspaceEdit } from '../../toLsp.js';
import { namingOf, readUnbound } from '../../unboundDumps.js';

/** To name the profile that fits a dump which names none: the one that does, or each of several with what tells it apart. */
export async function profilesToName(
  session: Session,
  uri: string,
  pause: ReturnType<typeof pauses>,
): Promise<readonly CodeAction[]> {
  const unbound = valueIn(await readUnbound(session, uri));
  const naming = unbound === undefined ? null : namingOf(unbound);
  const { commands } = (session.client.initializationOptions ?? {}) as InitializationOptions;
  // Into the file beside a dump the client writes: it may be there already, or not.
  const beside = naming?.isBeside === true && commands === true && !isUnsaved(uri);
  if (unbound === undefined || naming === null || (naming.isBeside === true && !beside)) return [];
  const { dump, version } = unbound;
  const index: IndexedProfile[] = [];
  const unread: { readonly name: string; readonly why: Phrase }[] = [];
  for (const file of (await profilesAround(session, [uri])).profiles) {
    await pause();
    const reading = await session.files.readProfile(file);
    const name = relativePath(uri, file);
    if (name === undefined) continue;
    if (reading.ok) index.push(indexedProfile({ file, name }, reading.value));
    else unread.push({ name, why: reading.why });
  }
  const explains = async (file: string) => {
    await pause();
    const profile = valueIn(await session.files.readProfile(file))?.profile;
    return (
      profile !== undefined &&
      whyNotNamed(dump, profile, { beside }) === undefined &&
      explainsWhole(profile, dump, fileName(uri))
    );
  };
  const found = await searchLibrary(index, dump, explains, unread);
  if (found.kind === 'none') return [];
  const { line, column, before, after } = naming;
  return (found.kind === 'one' ? [found.profile] : found.profiles).map((one) => {
    const said =
      found.kind === 'one' && found.doubt === undefined
        ? phrase('Name the Profile {0}', one.name)
        : phrase('Name the Profile {0} ({1})', one.name, profileInWords(one));
    const [title, kind] = [oneLine(session.say(said)), CodeActionKind.QuickFix];
    if (beside)
      return { title, kind, command: { title, command: 'countersum._nameProfile', arguments: [uri, one.name] } };
    const edit = { row: line, start: column, end: column, text: `${before}${one.name}${after}` };
    return {
      title,
      kind,
      edit: toWorkspaceEdit(session, { file: canonicalUri(uri), version }, [edit]),
    };
  });
}
