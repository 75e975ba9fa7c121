import { phrase } from '../../base/phrase.js';
import { type Result, refuse } from '../../base/result.js';
import type { Dump } from '../../model/dump.js';
import { isSealed } from '../../model/headers.js';
import { whyToLoad } from '../../model/toLoadName.js';
import { whySetAside } from '../../model/useHeader.js';
import { withRecords } from '../../model/whole.js';

/** What was read back from a module, as it was read from a file; or why it is no reading that could prove anything. */
export function asReading(name: string, read: Result<Dump>): Result<Dump> {
  const found = withRecords(name, read);
  const aside = found.ok ? (whyToLoad(name) ?? whySetAside(name, found.value)) : undefined;
  if (aside !== undefined) return refuse(aside);
  return found.ok && isSealed(found.value)
    ? refuse(
        phrase(
          '{0} is a sealed backup: it says how the module was found, not what it holds now. Read the module again and take what was read.',
          name,
        ),
      )
    : found;
}
