import { type Result, refuse } from '../../base/result.js';
import type { Dump } from '../../model/dump.js';
import { whyNoReading } from '../../model/readBack.js';
import { withRecords } from '../../model/whole.js';

/** What was read back from a module, as it was read from a file; or why it is no reading that could prove anything. */
export function asReading(name: string, read: Result<Dump>): Result<Dump> {
  const found = withRecords(name, read);
  const why = found.ok ? whyNoReading(name, found.value) : undefined;
  return why === undefined ? found : refuse(why);
}
