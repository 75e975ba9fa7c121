import { type Dump, headerValue } from '../../shared-core/src/model/index.js';
import type { DumpWords } from '../../shared-core/src/protocol/files.js';

/** What a person tells a dump from others by, as far as it says so. */
export function wordsOfDump(dump: Dump): DumpWords {
  return {
    vehicle: headerValue(dump, 'vehicle') ?? headerValue(dump, 'vin') ?? '',
    taken: headerValue(dump, 'taken') ?? '',
    module: dump.profile.title ?? headerValue(dump, 'module') ?? '',
  };
}
