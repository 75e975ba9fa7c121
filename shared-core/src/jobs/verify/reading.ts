import { done, type Result, refuse } from '../../base/result.js';
import { type Dump, readBy } from '../../model/dump.js';
import { headerValue } from '../../model/headers.js';
import { whyNoReading } from '../../model/readBack.js';
import { whyToLoad } from '../../model/toLoadName.js';
import { withRecords } from '../../model/whole.js';
import type { Profile } from '../../profile/profile.js';
import { EMPTY_PROFILE } from '../../profile/readProfile.js';

/**
 * What was read back from a module, as it was read from a file; or why it is no reading that could prove anything. One that
 * names no profile is read by that of the plan: a form of its own may be known by that alone.
 */
export function asReading(name: string, read: Result<Dump>, planned: Profile): Result<Dump> {
  const isBare = read.ok && read.value.profile === EMPTY_PROFILE && headerValue(read.value, 'profile') === undefined;
  const found = withRecords(name, isBare ? done(readBy(read.value, planned)) : read);
  const why = found.ok ? whyNoReading(name, found.value) : whyToLoad(name);
  return why === undefined ? found : refuse(why);
}
