import { valueIn } from '../../../shared-core/src/base/index.js';
import { headersIn } from '../../../shared-core/src/model/index.js';
import { canonicalUri, fileName, resolveUri } from '../../../shared-core/src/workspace/index.js';
import { spanOfOption } from '../cursor.js';
import { answerOfVersions, type Feature } from '../feature.js';
import { type JsonFile, namesOf, readJsonFile, readProfileFile, toJsonRange } from '../jsonFile.js';
import type { CancellationToken, Location } from '../lsp.js';
import { isSameOption, keyOf, type OptionKey, optionsHere, type Sharers, sharersOf } from '../optionPlaces.js';
import type { Session } from '../session.js';
import { endIfCancelled, pauses } from '../slices.js';
import { toRange } from '../toLsp.js';

/** Everywhere an option is set or asked for: in all dumps, profiles and retrofits of the workspace. */
export const references: Feature = {
  capabilities: () => ({ referencesProvider: true }),
  register: (connection, session) => {
    connection.onReferences(({ textDocument: { uri }, position, context }, cancel) =>
      answerOfVersions(
        session,
        async () => {
          const keys = await optionsHere(session, uri, position);
          return referencesTo(session, keys, { includeDeclaration: context.includeDeclaration, near: uri }, cancel);
        },
        (found) => [uri, ...found.map((location) => location.uri)],
      ),
    );
  },
};

async function referencesTo(
  session: Session,
  keys: readonly OptionKey[],
  { includeDeclaration, near }: { readonly includeDeclaration: boolean; readonly near: string },
  cancel: CancellationToken,
): Promise<Location[]> {
  if (keys.length === 0) return [];
  const { dumps, profiles, retrofits } = await session.list();
  const pause = pauses(cancel);
  const found: Location[] = [];
  const shared = new Map<OptionKey, Sharers>();
  for (const key of keys) shared.set(key, await sharersOf(session, key, pause));
  const all = [...shared].flatMap(([{ id }, sharers]) =>
    [...sharers.profiles].map((profileUri) => ({ profileUri, id })),
  );
  const written = [...shared.values()].flatMap(({ files }) => [...files]);
  for (const uri of new Set([...written, ...profiles, ...retrofits])) {
    endIfCancelled(cancel);
    const file = await (written.includes(uri) ? readProfileFile : readJsonFile)(session, uri);
    if (file !== undefined) found.push(...inJson(file, all, includeDeclaration));
    await pause();
  }
  for (const uri of new Set([canonicalUri(near), ...dumps])) {
    endIfCancelled(cancel);
    found.push(...(await inDump(session, uri, all)));
    await pause();
  }
  endIfCancelled(cancel);
  return found;
}

function inJson(file: JsonFile, keys: readonly OptionKey[], includeDeclaration: boolean): readonly Location[] {
  return (namesOf(file)?.options ?? [])
    .filter((name) => includeDeclaration || name.role !== 'described')
    .filter((name) => keys.some((key) => isSameOption(key, keyOf(file, name))))
    .map(({ span }) => ({ uri: file.uri, range: toJsonRange(file, span) }));
}

/** Only dumps that name one of the profiles are read to the end. */
async function inDump(session: Session, uri: string, keys: readonly OptionKey[]): Promise<readonly Location[]> {
  const text = await session.files.readText(uri);
  if (!text.ok || !namesOne(uri, text.value, keys)) return [];
  const bound = valueIn(await session.bindFile(uri));
  if (bound === undefined) return [];
  const { dump, profileFile: profileUri } = bound;
  return keys
    .filter((key) => key.profileUri === profileUri)
    .flatMap(({ id }) => dump.profile.options.filter((option) => option.id === id))
    .flatMap((option) => {
      const span = spanOfOption(dump, option);
      return span === undefined ? [] : [{ uri, range: toRange(span) }];
    });
}

function namesOne(uri: string, text: string, keys: readonly OptionKey[]): boolean {
  return headersIn(fileName(uri), text).some(
    ({ header: { name, value } }) =>
      name === 'profile' && keys.some(({ profileUri }) => profileUri === resolveUri(uri, value)),
  );
}
