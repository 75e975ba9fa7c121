import { canonicalUri, type UriMap } from '../../shared-core/src/workspace/index.js';
import type { Snapshot } from './documents.js';

/** What a client opens, changes and closes, by the address as the client writes it. */
export interface OpenTexts {
  /** The text that a change under an address is for. */
  readonly textAt: (uri: string) => Snapshot | undefined;
  /** Makes a text, newly opened or changed, the one that counts for its file. */
  readonly put: (text: Snapshot) => void;
  /** Whether the file is closed now: it may be open under another spelling of its address. */
  readonly close: (uri: string) => boolean;
}

/**
 * Texts over the open documents, one for each spelling of an address. The document is the text that was opened or changed last;
 * the others wait until that one is closed.
 */
export function openTexts(documents: UriMap<Snapshot>): OpenTexts {
  const waiting = new Map<string, Snapshot>();
  return {
    textAt: (uri) => {
      const shown = documents.get(uri);
      return shown?.uri === uri ? shown : (waiting.get(uri) ?? shown);
    },
    put: (text) => {
      const shown = documents.get(text.uri);
      if (shown !== undefined && shown.uri !== text.uri) waiting.set(shown.uri, shown);
      waiting.delete(text.uri);
      documents.set(text.uri, text);
    },
    close: (uri) => {
      if (waiting.delete(uri)) return false;
      const file = canonicalUri(uri);
      const next = [...waiting.values()].filter((text) => canonicalUri(text.uri) === file).at(-1);
      if (next === undefined) {
        documents.delete(uri);
        return true;
      }
      waiting.delete(next.uri);
      documents.set(uri, next);
      return false;
    },
  };
}
