import { type Phrase, phrase } from '../../base/phrase.js';
import { type Result, refuse } from '../../base/result.js';
import type { Dump } from '../../model/dump.js';
import { type Headed, isSealed } from '../../model/headers.js';
import { whyToLoad } from '../../model/toLoadName.js';
import { whySetAside } from '../../model/useHeader.js';
import { withRecords } from '../../model/whole.js';

/** What was read back from a module, as it was read from a file; or why it is no reading that could prove anything. */
export function asReading(name: string, read: Result<Dump>): Result<Dump> {
  const found = withRecords(name, read);
  const why = found.ok ? whyNoReading(name, found.value) : undefined;
  return why === undefined ? found : refuse(why);
}

/** Why a file tells nothing of what a module holds now, by its name and headers; undefined where these do not say so. */
export function whyNoReading(name: string, dump: Headed): Phrase | undefined {
  const aside = whyToLoad(name) ?? whySetAside(name, dump);
  if (aside !== undefined || !isSealed(dump)) return aside;
  return phrase(
    '{0} is a sealed backup: it says how the module was found, not what it holds now. Read the module again and take what was read.',
    name,
  );
}
