import { listed, phrase } from '../../../shared-core/src/base/index.js';
import { headersIn } from '../../../shared-core/src/model/index.js';
import {
  canonicalUri,
  fileName,
  HEADERS_BESIDE,
  kindOf,
  relativePath,
  resolveUri,
} from '../../../shared-core/src/workspace/index.js';
import type { Feature } from '../feature.js';
import { namesOf, readJsonFile, toJsonRange } from '../jsonFile.js';
import { MessageType, ShowMessageNotification, type TextDocumentEdit, type TextEdit } from '../lsp.js';
import type { Session } from '../session.js';
import { pauses } from '../slices.js';
import { toFilesEdit } from '../toLsp.js';
import { type PathHere, pathsInHeaders } from './definition.js';

/** When files or folders are renamed or moved, dumps still name their profile and backup, and so do conditions and retrofits. */
export const renameFiles: Feature = {
  capabilities: ({ client }) =>
    client.capabilities.workspace?.fileOperations?.willRename === true
      ? { workspace: { fileOperations: { willRename: { filters: FILTERS } } } }
      : {},
  register: (connection, session) => {
    connection.workspace.onWillRenameFiles(async ({ files }) => {
      const { edits, sealed } = await editsForRenamed(
        session,
        files.map(({ oldUri, newUri }) => ({ oldUri: canonicalUri(oldUri), newUri: canonicalUri(newUri) })),
      );
      if (sealed.length > 0) {
        const message = session.say(
          phrase(
            'Sealed files are never changed, so these still use the old name: {0}. Keep a copy of the renamed file under its old name.',
            listed(sealed.map(fileName)),
          ),
        );
        void connection.sendNotification(ShowMessageNotification.type, { type: MessageType.Warning, message });
      }
      return edits.length === 0 ? null : toFilesEdit(session, edits);
    });
  },
};

/** A dump may name a file of any name: raw bytes, or a text as some program saved it. */
const FILTERS = [{ pattern: { glob: '**' } }];

export interface Renamed {
  readonly oldUri: string;
  readonly newUri: string;
}

/**
 * Edits of the files as they are named now (in the one form of addresses), to be made before anything is renamed, and
 * the sealed files that would need some: those stay as they are.
 */
async function editsForRenamed(
  session: Session,
  renamed: readonly Renamed[],
): Promise<{ readonly edits: TextDocumentEdit[]; readonly sealed: readonly string[] }> {
  const { dumps, profiles, retrofits } = await session.list();
  const pause = pauses();
  const found: TextDocumentEdit[] = [];
  const sealed: string[] = [];
  for (const uri of [...dumps, ...profiles, ...retrofits]) {
    const { place, version, paths, isSealed } = await pathsOfFile(session, uri);
    const edits = paths.flatMap((path) => editOf(uri, path, renamed));
    if (edits.length > 0 && isSealed) sealed.push(uri);
    else if (edits.length > 0) {
      found.push({ textDocument: { uri: place, version }, edits });
    }
    await pause();
  }
  return { edits: found, sealed };
}

/** The paths that a file names, and whether it is never to be changed. */
interface PathsOfFile {
  /** The file in which they stand. */
  readonly place: string;
  readonly version: number | null;
  readonly paths: readonly PathHere[];
  readonly isSealed: boolean;
}

async function pathsOfFile(session: Session, uri: string): Promise<PathsOfFile> {
  if (isDump(uri)) {
    const place = (await session.hasHeadersBeside(uri)) ? `${uri}${HEADERS_BESIDE}` : uri;
    const text = await session.files.readText(place);
    const headers = text.ok ? headersIn(fileName(place), text.value) : [];
    return {
      place,
      version: session.documents.get(place)?.version ?? null,
      paths: pathsInHeaders(uri, headers),
      isSealed: headers.some(({ header: { name } }) => name === 'seal'),
    };
  }
  const file = await readJsonFile(session, uri);
  const paths = (file && namesOf(file)?.paths) ?? [];
  return {
    place: uri,
    version: file?.version ?? null,
    isSealed: false,
    paths: paths.flatMap(({ path, span }) =>
      file === undefined ? [] : [{ path, target: resolveUri(uri, path), range: toJsonRange(file, span) }],
    ),
  };
}

/** Whether a file that was listed is a dump: raw bytes are one by any name. */
function isDump(uri: string): boolean {
  return (kindOf(uri) ?? 'dumps') === 'dumps';
}

/** The new path, where the old one would no longer lead to the same file. */
function editOf(uri: string, { path, target, range }: PathHere, renamed: readonly Renamed[]): TextEdit[] {
  const [uriThen, targetThen] = [movedUri(uri, renamed), movedUri(target, renamed)];
  if (resolveUri(uriThen, path) === targetThen) return [];
  const pathThen = relativePath(uriThen, targetThen);
  // A backslash in a name would be read as a slash: no path leads to such a file.
  if (pathThen === undefined || pathThen.includes('\\')) return [];
  return [{ range, newText: isDump(uri) ? pathThen : JSON.stringify(pathThen).slice(1, -1) }];
}

/** The address of a file after files, or folders that it lies in, were renamed. */
function movedUri(uri: string, renamed: readonly Renamed[]): string {
  for (const { oldUri, newUri } of renamed) {
    if (uri === oldUri) return newUri;
    if (uri.startsWith(`${oldUri}/`)) return newUri + uri.slice(oldUri.length);
  }
  return uri;
}
