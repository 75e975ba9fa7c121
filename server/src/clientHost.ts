import type { Connection } from 'vscode-languageserver';
import {
  codedFiles,
  done,
  fileOfText,
  formOf,
  type Host,
  type InitializationOptions,
  LIST_FOLDER,
  type ListFolderResult,
  phrase,
  READ_FILE,
  type ReadFileResult,
  refuse,
  textOfRows,
  type UriMap,
} from '../../shared-core/src/index.js';
import { utf8 } from './codec.js';
import type { Snapshot } from './documents.js';

/**
 * Files as the client sees them where it offers that: they may be changed and not yet saved, or be on no disk at all. Raw
 * bytes and other encodings are text either way, which the client or the server makes of them in the same way.
 */
export function throughClient(connection: Connection, disk: Host, { reads, lists }: InitializationOptions): Host {
  const coded = codedFiles(disk, utf8);
  return {
    ...disk,
    readsRawBytes: true,
    open: async (uri) => {
      if (reads !== true) return coded.open(uri);
      try {
        const answer = await connection.sendRequest<ReadFileResult>(READ_FILE, { uri });
        if ('why' in answer) return refuse(answer.why);
        const form = answer.form === undefined ? undefined : formOf(answer.form);
        return done({ ...fileOfText(answer.text, utf8), ...(form && { form }) });
      } catch (error) {
        // What is on the disk may be older than what the client has.
        return refuse(phrase('the editor did not hand it over ({0})', error instanceof Error ? error.message : ''));
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
