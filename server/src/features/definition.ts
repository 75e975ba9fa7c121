import { valueIn } from '../../../shared-core/src/base/index.js';
import type { ValueWord } from '../../../shared-core/src/jobs/index.js';
import { cellKey, type Dump, headersOf, presentCells } from '../../../shared-core/src/model/index.js';
import type { JsonSpan } from '../../../shared-core/src/profile/index.js';
import { resolveUri } from '../../../shared-core/src/workspace/index.js';
import { cellAtCursor, spanOfTotal, totalAt } from '../cursor.js';
import { rowsInDocument } from '../documents.js';
import { answerOfVersions, type Feature } from '../feature.js';
import { namesOf, readJsonFile, readProfileFile, toJsonRange } from '../jsonFile.js';
import type { Location, LocationLink, Position, Range } from '../lsp.js';
import { descriptionsOf, keyOf, optionsHere } from '../optionPlaces.js';
import type { Session } from '../session.js';
import { toRange } from '../toLsp.js';

/** From a byte to what the profile says of it, from an id to its option, from a path to its file. */
export const definition: Feature = {
  capabilities: () => ({ definitionProvider: true }),
  register: (connection, session) => {
    connection.onDefinition(async ({ textDocument: { uri }, position }) => {
      const links = await answerOfVersions(
        session,
        () => definitionsAt(session, uri, position),
        (found) => [uri, ...found.map(({ targetUri }) => targetUri)],
      );
      const takesLinks = session.client.capabilities.textDocument?.definition?.linkSupport === true;
      return takesLinks ? links : links.map(toLocation);
    });
  },
};

async function definitionsAt(session: Session, uri: string, position: Position): Promise<LocationLink[]> {
  const links: LocationLink[] = [];
  for (const { range, ...key } of await optionsHere(session, uri, position)) {
    for (const { file, whole, span } of await descriptionsOf(session, key))
      links.push({
        originSelectionRange: range,
        targetUri: file.uri,
        targetRange: toJsonRange(file, whole),
        targetSelectionRange: toJsonRange(file, span),
      });
  }
  if (links.length === 0) links.push(...(await wordsAt(session, uri, position)));
  if (links.length > 0) return links;
  const path = await pathAt(session, uri, position);
  return path === undefined ? elsewhereInProfile(session, uri, position) : [path];
}

/** From the value that a retrofit sets to where a profile says what it is; where none does, to the option. */
async function wordsAt(session: Session, uri: string, position: Position): Promise<LocationLink[]> {
  const retrofit = await readJsonFile(session, uri);
  if (retrofit?.kind !== 'retrofit') return [];
  const at = retrofit.document.offsetAt(position);
  const isHere = ({ span }: ValueWord) => span.start <= at && at <= span.end;
  const setting = namesOf(retrofit)?.options.find(({ words }) => words.some(isHere));
  const word = setting?.words.find(isHere);
  if (setting === undefined || word === undefined) return [];
  const described = await descriptionsOf(session, keyOf(retrofit, setting));
  const said = described.flatMap((one) => {
    const found = one.words.find(({ text }) => text.toLowerCase() === word.text.toLowerCase());
    return found === undefined ? [] : [{ ...one, span: found.span }];
  });
  return (said.length > 0 ? said : described).map(({ file, whole, span }) => ({
    originSelectionRange: toJsonRange(retrofit, word.span),
    targetUri: file.uri,
    targetRange: toJsonRange(file, whole),
    targetSelectionRange: toJsonRange(file, span),
  }));
}

/** The file whose path stands under the cursor. */
async function pathAt(session: Session, uri: string, position: Position): Promise<LocationLink | undefined> {
  const found = (await pathsIn(session, uri)).find(
    ({ range: { start, end } }) =>
      position.line === start.line && position.character >= start.character && position.character <= end.character,
  );
  if (found === undefined) return undefined;
  return { originSelectionRange: found.range, targetUri: found.target, targetRange: TOP, targetSelectionRange: TOP };
}

const TOP: Range = { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } };

/** A place at which a file names another. */
export interface PathHere {
  readonly range: Range;
  readonly path: string;
  readonly target: string;
}

/** All other files that an open dump, profile or retrofit names. */
export async function pathsIn(session: Session, uri: string): Promise<readonly PathHere[]> {
  const file = await readJsonFile(session, uri);
  if (file !== undefined) {
    return (namesOf(file)?.paths ?? []).map(({ path, span }) => ({
      range: toJsonRange(file, span),
      path,
      target: resolveUri(uri, path),
    }));
  }
  const bound = valueIn(await session.bindFile(uri));
  if (bound === undefined) return [];
  const count = rowsInDocument(bound.dump, session.documents.get(uri));
  return pathsInHeaders(
    uri,
    headersOf(bound.dump).filter(({ row }) => row < count),
  );
}

const HEADERS_WITH_PATHS = ['profile', 'backup'];

/** The files that headers of a dump name. */
export function pathsInHeaders(uri: string, headers: ReturnType<typeof headersOf>): readonly PathHere[] {
  return headers
    .filter(({ header: { name, value } }) => HEADERS_WITH_PATHS.includes(name) && value !== '')
    .map(({ row, header: { value, valueSpan } }) => ({
      range: toRange({ row, ...valueSpan }),
      path: value,
      target: resolveUri(uri, value),
    }));
}

/**
 * Where the profile mentions a byte that is no option: a file sum, a locked byte, one that changes by itself, a balance
 * place. What changes something of a profile that is extended leads there as well.
 */
async function elsewhereInProfile(session: Session, uri: string, position: Position): Promise<LocationLink[]> {
  const bound = valueIn(await session.bindFile(uri));
  if (bound?.profileFile === undefined) return [];
  const { dump, profileFile: profileUri } = bound;
  const cell = cellAtCursor(dump, position);
  if (cell === undefined) return [];
  const total = totalAt(dump, cell);
  const origin = total < 0 ? undefined : spanOfTotal(dump, total);
  const links: LocationLink[] = [];
  for (const source of sourcesAt(dump, cellKey(cell), total).flatMap(withThoseUnder)) {
    const file = await readProfileFile(session, source.file ?? profileUri);
    if (file === undefined) continue;
    const range = toJsonRange(file, source);
    links.push({
      ...(origin && { originSelectionRange: toRange(origin) }),
      targetUri: file.uri,
      targetRange: range,
      targetSelectionRange: range,
    });
  }
  return links;
}

function withThoseUnder(source: JsonSpan): readonly JsonSpan[] {
  return source.over === undefined ? [source] : [source, ...withThoseUnder(source.over)];
}

function sourcesAt({ layout, profile, totals }: Dump, key: number, total: number): readonly JsonSpan[] {
  const bound = totals[total];
  if (bound !== undefined) return [bound.total.source];
  return [...profile.locked, ...profile.volatile, ...profile.balance]
    .filter(({ place }) => presentCells(layout, place).some((cell) => cellKey(cell) === key))
    .map(({ source }) => source);
}

function toLocation({ targetUri, targetSelectionRange }: LocationLink): Location {
  return { uri: targetUri, range: targetSelectionRange };
}
