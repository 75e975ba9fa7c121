import { oneLine, phrase } from '../../../../shared-core/src/base/index.js';
import { profileInWords } from '../../../../shared-core/src/jobs/index.js';
import { canonicalUri } from '../../../../shared-core/src/workspace/index.js';
import { fittingProfiles } from '../../fittingProfiles.js';
import { type CodeAction, CodeActionKind } from '../../lsp.js';
import type { Session } from '../../session.js';
import type { pauses } from '../../slices.js';
import { toWorkspaceEdit } from '../../toLsp.js';

/** To name the profile that fits a dump which names none: the one that does, or each of several with what tells it apart. */
export async function profilesToName(
  session: Session,
  uri: string,
  pause: ReturnType<typeof pauses>,
): Promise<readonly CodeAction[]> {
  const fitting = await fittingProfiles(session, uri, pause);
  if (fitting === undefined) return [];
  const { profiles, isSure, naming } = fitting;
  const { line, column, before, after, isBeside, version } = naming;
  return profiles.map((one) => {
    const said = isSure
      ? phrase('Name the Profile {0}', one.name)
      : phrase('Name the Profile {0} ({1})', one.name, profileInWords(one));
    const [title, kind] = [oneLine(session.say(said)), CodeActionKind.QuickFix];
    if (isBeside === true)
      return { title, kind, command: { title, command: 'countersum._nameProfile', arguments: [uri, one.name] } };
    const edit = { row: line, start: column, end: column, text: `${before}${one.name}${after}` };
    return { title, kind, edit: toWorkspaceEdit(session, { file: canonicalUri(uri), version }, [edit]) };
  });
}
