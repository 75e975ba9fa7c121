import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Translation } from '../../shared-core/src/base/index.js';

/**
 * The sentences in the language of a locale ("de", "de-AT", "de_CH.UTF-8"), from the folder `l10n` beside the bundles;
 * undefined, so that all is said in English, where there is none.
 */
export function translationFor(locale: string | undefined, folder = join(__dirname, 'l10n')): Translation | undefined {
  const [language = ''] = (locale ?? '').toLowerCase().split(/[^a-z]/);
  if (language === '' || language === 'en') return undefined;
  try {
    return JSON.parse(readFileSync(join(folder, `bundle.l10n.${language}.json`), 'utf8'));
  } catch {
    return undefined;
  }
}
