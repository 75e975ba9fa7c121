import type { TextCodec } from '../../shared-core/src/workspace/index.js';

/** UTF-8, where the server runs: in a process or in a worker. */
export const utf8: TextCodec = {
  encode: (text) => new TextEncoder().encode(text),
  decode: (bytes) => new TextDecoder('utf-8', { ignoreBOM: true }).decode(bytes),
};
