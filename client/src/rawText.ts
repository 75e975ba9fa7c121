import type { BaseLanguageClient } from 'vscode-languageclient';
import { base64Of, bytesOfBase64 } from '../../shared-core/src/base/index.js';
import type { Refusal } from '../../shared-core/src/protocol/common.js';
import {
  RAW_BYTES,
  RAW_TEXT,
  type RawBytesParams,
  type RawBytesResult,
  type RawTextParams,
  type RawTextResult,
} from '../../shared-core/src/protocol/raw.js';
import { isRefusal } from './ask.js';

/** Raw bytes as the text of a dump and back, as the server makes it, or why not. */
export interface RawTexts {
  readonly textOf: (bytes: Uint8Array, headers: string) => Promise<RawTextResult>;
  /** `size` is how many bytes the file has that it is to be written over. */
  readonly bytesOf: (text: string, size: number | null) => Promise<RawOfText | Refusal>;
}

export interface RawOfText {
  readonly bytes: Uint8Array;
  readonly headers: string;
  /** Whether the headers hold a seal. */
  readonly isSealed: boolean;
}

export function createRawTexts(client: Pick<BaseLanguageClient, 'sendRequest'>): RawTexts {
  return {
    textOf: (bytes, headers) => {
      const params: RawTextParams = { base64: base64Of(bytes), headers };
      return client.sendRequest<RawTextResult>(RAW_TEXT, params);
    },
    bytesOf: async (text, size) => {
      const params: RawBytesParams = { text, size };
      const result = await client.sendRequest<RawBytesResult>(RAW_BYTES, params);
      if (isRefusal(result)) return result;
      const { base64, headers, isSealed } = result;
      return { bytes: bytesOfBase64(base64), headers, isSealed };
    },
  };
}
