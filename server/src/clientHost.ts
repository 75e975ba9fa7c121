import { bytesOfBase64, done, phrase, type Refused, refuse } from '../../shared-core/src/base/index.js';
import { textOfRows } from '../../shared-core/src/format/index.js';
import {
  LIST_FOLDER,
  type ListFolderResult,
  READ_FILE,
  type ReadFileResult,
} from '../../shared-core/src/protocol/files.js';
import type { InitializationOptions } from '../../shared-core/src/protocol/initialization.js';
import { RAW_FILE, type RawFileParams } from '../../shared-core/src/protocol/raw.js';
import {
  codedFiles,
  fileOfBytes,
  fileOfText,
  HEADERS_BESIDE,
  type Host,
  type UriMap,
} from '../../shared-core/src/workspace/index.js';
import { utf8 } from './codec.js';
import type { DumpSnapshot, Snapshot } from './documents.js';
import type { Connection } from './lsp.js';

/**
 * Files as the client sees them where it offers that: they may be changed and not yet saved, or be on no disk at all. Raw
 * bytes and other encodings are text either way, by the code of the command line.
 */
export function throughClient(connection: Connection, disk: Host, { reads, lists }: InitializationOptions): Host {
  const handedOver: Host['open'] = async (uri) => {
    try {
      const answer = await connection.sendRequest<ReadFileResult>(READ_FILE, { uri });
      if ('why' in answer) return refuse(answer.why);
      return done('text' in answer ? fileOfText(answer.text, utf8) : fileOfBytes(bytesOfBase64(answer.base64), utf8));
    } catch (error) {
      // What is on the disk may be older than what the client has.
      return notHandedOver(error);
    }
  };
  const coded = codedFiles(reads === true ? { ...disk, open: handedOver } : disk, utf8);
  const raw = new Set<string>();
  /** Tells the client what it cannot see: whether a file is raw bytes. */
  const tell = (uri: string): void => {
    const isRaw = coded.codingOf(uri)?.isBinary === true;
    if (reads !== true || raw.has(uri) === isRaw) return;
    if (isRaw) raw.add(uri);
    else raw.delete(uri);
    void connection.sendNotification(RAW_FILE, { uri, isRaw } satisfies RawFileParams);
  };
  return {
    ...disk,
    readsRawBytes: true,
    stamp: async (uri) => {
      const stamps = [await disk.stamp(uri), await disk.stamp(uri + HEADERS_BESIDE)];
      return stamps.includes(undefined) ? undefined : stamps.join(' ');
    },
    open: async (uri) => {
      const opened = await coded.open(uri);
      if (opened.ok) tell(uri);
      return opened;
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

/** The same with the documents that are open, each as it is in the editor; hex views with the headers beside them. */
export function withOpenDocuments(documents: UriMap<Snapshot>, host: Host): Host {
  const texts: Host = {
    ...host,
    stamp: async (uri) => {
      const open = documents.get(uri);
      return open === undefined ? host.stamp(uri) : `version ${open.version}`;
    },
    open: async (uri) => {
      const open = documents.get(uri);
      if (open === undefined) return host.open(uri);
      return done(fileOfText(open.kind === 'dump' ? textOfRows(open.rows) : open.document.getText(), utf8));
    },
  };
  const coded = codedFiles(texts, utf8, {
    saidForm: (uri) => {
      const open = documents.get(uri);
      return open?.kind === 'dump' ? open.shown.id : undefined;
    },
  });
  return { ...host, open: (uri) => (hasHeadersBeside(documents.get(uri)) ? coded.open(uri) : texts.open(uri)) };
}

/** Whether the headers of an open document are in a file beside it, where it has any. */
export function hasHeadersBeside(open: Snapshot | undefined): open is DumpSnapshot {
  return open?.kind === 'dump' && open.shown.headers === 'none';
}
