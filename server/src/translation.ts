import type { Translation } from '../../shared-core/src/index.js';

/** The sentences in the editor's language; English, which the patterns themselves are, where there is no translation. */
export function translationFor(_locale: string | undefined): Translation {
  return {};
}
