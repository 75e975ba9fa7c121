import { listed, phrase, valueIn } from '../../../../shared-core/src/base/index.js';
import { bindText, type HeaderName, headerValue, isSealed } from '../../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../../../shared-core/src/profile/index.js';
import { fileName, relativePath } from '../../../../shared-core/src/workspace/index.js';
import type { Session } from '../../session.js';
import type { Choice, CompletionPlace } from './place.js';

/** Profiles after `@profile`, dumps after `@backup`: the files of the workspace, those that go by a like name first. */
export async function pathChoices({ session, explained, position, row }: CompletionPlace): Promise<Choice[]> {
  if (row.kind !== 'header' || position.character <= row.nameSpan.end) return [];
  if (row.name !== 'profile' && row.name !== 'backup') return [];
  const { profiles, dumps } = await session.list();
  const { start, end } = row.valueSpan;
  const span =
    position.character >= start
      ? { row: position.line, start, end: Math.max(end, position.character) }
      : { row: position.line, start: position.character, end };
  return pathsFrom(explained.file, row.name === 'profile' ? profiles : dumps).map(({ path, uri }) => ({
    label: path,
    text: path,
    span,
    kind: 'file',
    file: uri,
  }));
}

/** Paths from a file to others, those first whose names begin alike, then those that are near. */
export function pathsFrom(from: string, to: readonly string[]): readonly { path: string; uri: string }[] {
  const [stem = ''] = fileName(from).split('.');
  const rank = (path: string) => path.split('/').length - (path.split('/').at(-1)?.startsWith(stem) ? 100 : 0);
  return to
    .filter((uri) => uri !== from)
    .flatMap((uri) => {
      const path = relativePath(from, uri);
      return path === undefined ? [] : [{ path, uri }];
    })
    .sort((a, b) => rank(a.path) - rank(b.path));
}

/** Of which module a profile is, or of which vehicle a dump. */
export async function aboutFile(session: Session, uri: string): Promise<string | undefined> {
  if (uri.endsWith('.json')) return valueIn(await session.files.readProfile(uri))?.profile.title;
  const text = await session.files.readText(uri);
  if (!text.ok) return undefined;
  const dump = bindText(fileName(uri), text.value, EMPTY_PROFILE);
  const said = (['vehicle', 'vin', 'taken'] as const).flatMap((name: HeaderName) => headerValue(dump, name) ?? []);
  const seal = isSealed(dump) ? phrase('Sealed.') : phrase('Not sealed.');
  return session.say(listed([seal, ...said], ' · '));
}
