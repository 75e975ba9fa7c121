import type { InitializeParams } from 'vscode-languageserver';
import { kindOf } from '../../shared-core/src/index.js';
import type { Snapshot } from './documents.js';
import type { Host } from './host.js';
import { canonicalUri } from './uri.js';
import type { UriMap } from './uriMap.js';

/** The files of the folders that the editor has open, as addresses. Each may be open in the editor or not. */
export interface Workspace {
  readonly dumps: readonly string[];
  readonly profiles: readonly string[];
  readonly retrofits: readonly string[];
  /** Job cards that were saved. */
  readonly cards: readonly string[];
}

/** Lists the files of the workspace as they are now, with those that are open and not yet on a disk. */
export async function listWorkspace(
  folders: readonly string[],
  host: Host,
  documents: UriMap<Snapshot>,
): Promise<Workspace> {
  const listed = await host.listFiles(folders);
  const uris = [...new Set([...listed.map(canonicalUri), ...documents.keys()])].sort();
  const ofKind = (kind: keyof Workspace) => uris.filter((uri) => kindOf(uri) === kind);
  return {
    dumps: ofKind('dumps'),
    profiles: ofKind('profiles'),
    retrofits: ofKind('retrofits'),
    cards: ofKind('cards'),
  };
}

/** The folders that the client has open when it starts. */
export function foldersOf({ workspaceFolders, rootUri }: InitializeParams): readonly string[] {
  return workspaceFolders?.map(({ uri }) => uri) ?? (rootUri ? [rootUri] : []);
}

/** Whether the client can be asked to tell when a file appears, changes or goes. */
export function isWatched({ capabilities: { workspace } }: InitializeParams): boolean {
  return workspace?.didChangeWatchedFiles?.dynamicRegistration === true;
}
