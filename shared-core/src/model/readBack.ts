import { type Phrase, type PhrasePart, phrase } from '../base/phrase.js';
import type { Dump } from './dump.js';
import { type Headed, headerValue, isSealed } from './headers.js';
import { whyToLoad } from './toLoadName.js';
import { whySetAside } from './useHeader.js';

/** Whether a file is called as *Bring In the Read-back…* calls it, and is no dump in work: it is evidence, and nothing offers to change it. */
export function isReadBack({ name, dump }: { readonly name: string; readonly dump: Dump }): boolean {
  return headerValue(dump, 'backup') === undefined && /\.read-back(?:-\d+)?\.[^.]+$/i.test(name);
}

/** Why a file is none that was read back from a module, by its name and headers; undefined where these do not say so. */
export function whyNotReadBack(name: string, dump: Headed): Phrase | undefined {
  return whyNoReading(name, dump) ?? whyInWork({ name, dump });
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

/** Why a dump was not read from a module, by what it says itself. */
export function whyInWork({ name, dump }: { readonly name: PhrasePart; readonly dump: Headed }): Phrase | undefined {
  if (headerValue(dump, 'backup') === undefined) return undefined;
  return phrase(
    '{0} names a backup ("@backup"), so it is a dump in work and was not read from the module. Take what was read.',
    name,
  );
}
