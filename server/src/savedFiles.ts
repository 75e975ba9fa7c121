import { bytesOfBase64, done, type Result, refuse } from '../../shared-core/src/base/index.js';
import {
  CLOSE_FILE,
  OPEN_FILE,
  type OpenFileResult,
  READ_PIECE,
  type ReadPieceResult,
} from '../../shared-core/src/protocol/files.js';
import type { InitializationOptions } from '../../shared-core/src/protocol/initialization.js';
import {
  CHANGED,
  type CodedFiles,
  codedFiles,
  fileOfBytes,
  type Host,
  type OpenFile,
} from '../../shared-core/src/workspace/index.js';
import { notHandedOver } from './clientHost.js';
import { utf8 } from './codec.js';
import type { CancellationToken, Connection } from './lsp.js';
import { endIfCancelled } from './slices.js';

/** Bytes that the client hands over at a time: a key pressed meanwhile waits for no more than one such piece. */
const PIECE = 1 << 18;

/** Files as they are saved, until reading them is given up. */
export type SavedFiles = (token: CancellationToken) => Host & Pick<CodedFiles, 'codingOf'>;

/** Those of this machine come from its disk, others in pieces from the client where it offers that. `host` lists folders. */
export function savedFiles(
  connection: Connection,
  disk: Host,
  { list }: Host,
  { pieces }: InitializationOptions,
): SavedFiles {
  return (token) => {
    const saved: Host = {
      ...disk,
      list,
      // No pipe is waited for: others wait for the server.
      open: async (uri) => {
        const onDisk = await disk.open(uri);
        return onDisk.ok || pieces !== true ? onDisk : fromClient(connection, uri, token);
      },
    };
    const { open, codingOf } = codedFiles(saved, utf8);
    return { ...saved, open, codingOf };
  };
}

async function fromClient(connection: Connection, uri: string, token: CancellationToken): Promise<Result<OpenFile>> {
  try {
    const opened = await connection.sendRequest<OpenFileResult>(OPEN_FILE, { uri });
    if ('why' in opened) return refuse(opened.why);
    const bytes = await allPieces(connection, opened, token);
    return bytes === undefined ? refuse(CHANGED) : done(fileOfBytes(bytes, utf8));
  } catch (error) {
    endIfCancelled(token);
    return notHandedOver(error);
  }
}

/** All bytes of a file that the client has open, and holds no longer then; undefined where some are missing. */
async function allPieces(
  connection: Connection,
  { file, size }: { readonly file: number; readonly size: number },
  token: CancellationToken,
): Promise<Uint8Array | undefined> {
  try {
    const bytes = new Uint8Array(size);
    for (let from = 0; from < size; from += PIECE) {
      const count = Math.min(PIECE, size - from);
      const { base64 } = await connection.sendRequest<ReadPieceResult>(READ_PIECE, { file, from, count });
      endIfCancelled(token);
      const piece = bytesOfBase64(base64);
      if (piece.length !== count) return undefined;
      bytes.set(piece, from);
    }
    return bytes;
  } finally {
    void connection.sendNotification(CLOSE_FILE, { file });
  }
}
