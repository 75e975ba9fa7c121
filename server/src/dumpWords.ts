import { type Dump, type DumpWords, headerValue } from '../../shared-core/src/index.js';

/** What a person tells a dump from others by, as far as it says so; among dumps of one module, the module says nothing. */
export function wordsOfDump(dump: Dump, { ofOneModule = false } = {}): DumpWords {
  const module = ofOneModule ? undefined : (dump.profile.title ?? headerValue(dump, 'module'));
  const vehicle = headerValue(dump, 'vehicle') ?? headerValue(dump, 'vin');
  return { says: [module, vehicle].flatMap((word) => word ?? []), taken: headerValue(dump, 'taken') ?? null };
}
