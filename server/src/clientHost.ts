import type { Connection } from 'vscode-languageserver';
import {
  done,
  fileOfText,
  type Host,
  type InitializationOptions,
  LIST_FOLDER,
  type ListFolderResult,
  phrase,
  READ_FILE,
  type ReadFileResult,
  type Refused,
  refuse,
  textOfRows,
  type UriMap,
} from '../../shared-core/src/index.js';
import { utf8 } from './codec.js';
import type { Snapshot } from './documents.js';

/** Files as the client sees them where it offers that: they may be changed and not yet saved, or be on no disk at all. */
export function throughClient(connection: Connection, disk: Host, { reads, lists }: InitializationOptions): Host {
  return {
    ...disk,
    open: async (uri) => {
      if (reads !== true) return disk.open(uri);
      try {
        const answer = await connection.sendRequest<ReadFileResult>(READ_FILE, { uri });
        return 'text' in answer ? done(fileOfText(answer.text, utf8)) : refuse(answer.why);
      } catch (error) {
        // What is on the disk may be older than what the client has.
        return notHandedOver(error);
      }
    },
    list: async (folder) => {
      const onDisk = await disk.list(folder);
      if (onDisk.ok || lists !== true) return onDisk;
      try {
        const answer = await connection.sendRequest<ListFolderResult>(LIST_FOLDER, { uri: folder });
        return 'entries' in answer ? done(answer.entries) : refuse(answer.why);
      } catch {
        return onDisk;
      }
    },
  };
}

export function notHandedOver(error: unknown): Refused {
  return refuse(phrase('the editor did not hand it over ({0})', error instanceof Error ? error.message : ''));
}

/** The same with the documents that are open, each as it is in the editor. */
export function withOpenDocuments(documents: UriMap<Snapshot>, host: Host): Host {
  return {
    ...host,
    open: async (uri) => {
      const open = documents.get(uri);
      if (open === undefined) return host.open(uri);
      return done(fileOfText(open.kind === 'dump' ? textOfRows(open.rows) : open.document.getText(), utf8));
    },
  };
}
