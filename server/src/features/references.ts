import type { CancellationToken, Location } from 'vscode-languageserver';
import { canonicalUri, fileName, headersIn, resolveUri, valueIn } from '../../../shared-core/src/index.js';
import { spanOfOption } from '../cursor.js';
import type { Feature } from '../feature.js';
import { namesOf, readJsonFile, toJsonRange } from '../jsonFile.js';
import { isSameOption, keyOf, type OptionKey, optionsHere } from '../optionPlaces.js';
import type { Session } from '../session.js';
import { pauses } from '../slices.js';
import { toRange } from '../toLsp.js';

/** Everywhere an option is set or asked for: in all dumps, profiles and retrofits of the workspace. */
export const references: Feature = {
  capabilities: () => ({ referencesProvider: true }),
  register: (connection, session) => {
    connection.onReferences(async ({ textDocument: { uri }, position, context }, cancel) => {
      const keys = await optionsHere(session, uri, position);
      return referencesTo(session, keys, { includeDeclaration: context.includeDeclaration, near: uri }, cancel);
    });
  },
};

async function referencesTo(
  session: Session,
  keys: readonly OptionKey[],
  { includeDeclaration, near }: { readonly includeDeclaration: boolean; readonly near: string },
  cancel?: CancellationToken,
): Promise<Location[]> {
  if (keys.length === 0) return [];
  const { dumps, profiles, retrofits } = await session.list();
  const pause = pauses();
  const found: Location[] = [];
  const profileUris = keys.map(({ profileUri }) => profileUri);
  for (const uri of new Set([...profileUris, ...profiles, ...retrofits])) {
    if (cancel?.isCancellationRequested) return found;
    found.push(...(await inJson(session, uri, keys, includeDeclaration)));
    await pause();
  }
  for (const uri of new Set([canonicalUri(near), ...dumps])) {
    if (cancel?.isCancellationRequested) return found;
    found.push(...(await inDump(session, uri, keys)));
    await pause();
  }
  return found;
}

async function inJson(
  session: Session,
  uri: string,
  keys: readonly OptionKey[],
  includeDeclaration: boolean,
): Promise<readonly Location[]> {
  const file = await readJsonFile(session, uri);
  if (file === undefined) return [];
  return (namesOf(file)?.options ?? [])
    .filter((name) => includeDeclaration || name.role !== 'described')
    .filter((name) => keys.some((key) => isSameOption(key, keyOf(file, name))))
    .map(({ span }) => ({ uri, range: toJsonRange(file, span) }));
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
