import { oneLine, valueIn } from '../../../shared-core/src/base/index.js';
import { fileName } from '../../../shared-core/src/workspace/index.js';
import type { Feature } from '../feature.js';
import { namesOf, readJsonFile, toJsonRange } from '../jsonFile.js';
import { SymbolKind, type WorkspaceSymbol } from '../lsp.js';
import type { Session } from '../session.js';
import { pauses } from '../slices.js';

/** Options of all profiles by their titles and ids, and dumps by their names. */
export const workspaceSymbols: Feature = {
  capabilities: () => ({ workspaceSymbolProvider: true }),
  register: (connection, session) => {
    connection.onWorkspaceSymbol(({ query }) => symbolsFor(session, query));
  },
};

async function symbolsFor(session: Session, query: string): Promise<WorkspaceSymbol[]> {
  const { dumps, profiles } = await session.list();
  const pause = pauses();
  const found: WorkspaceSymbol[] = [];
  for (const uri of profiles) {
    found.push(...(await optionsOf(session, uri, query)));
    await pause();
  }
  const named = dumps.filter((uri) => fits(query, fileName(uri)));
  return [...found, ...named.map(dumpSymbol)];
}

async function optionsOf(session: Session, uri: string, query: string): Promise<readonly WorkspaceSymbol[]> {
  const [file, reading] = [await readJsonFile(session, uri), valueIn(await session.files.readProfile(uri))];
  if (file === undefined) return [];
  const titles = new Map(reading?.profile.options.map(({ id, title }) => [id, title]));
  return (namesOf(file)?.options ?? [])
    .filter(({ role, id }) => role === 'described' && fits(query, `${titles.get(id) ?? ''} ${id}`))
    .map(({ id, span }) => ({
      name: oneLine(titles.get(id) || id),
      kind: SymbolKind.EnumMember,
      containerName: oneLine(`${id} · ${reading?.profile.title || fileName(uri)}`),
      location: { uri, range: toJsonRange(file, span) },
    }));
}

function dumpSymbol(uri: string): WorkspaceSymbol {
  const start = { line: 0, character: 0 };
  return {
    name: fileName(uri),
    kind: SymbolKind.File,
    containerName: fileName(uri.slice(0, uri.lastIndexOf('/'))),
    location: { uri, range: { start, end: start } },
  };
}

/** Whether a text has the characters of a query in their order, as people shorten names. */
function fits(query: string, text: string): boolean {
  const within = text.toLowerCase();
  let at = 0;
  for (const character of query.toLowerCase().replaceAll(' ', '')) {
    at = within.indexOf(character, at) + 1;
    if (at === 0) return false;
  }
  return true;
}
