import { type Phrase, phrase } from '../base/phrase.js';
import { allSumsRight, sumsLeft } from '../checks/sumsLeft.js';
import { formOf } from '../format/forms.js';
import { notationOf } from '../format/notationOf.js';
import { textOfRows } from '../format/rows.js';
import { bind, type Dump, inNotationOf } from '../model/dump.js';
import { headerValue, isSealed } from '../model/headers.js';
import { whyNotThisModule } from '../model/identity.js';
import { isOfAnotherModule, unclearUse, whyWrongUse } from '../model/useHeader.js';
import type { Profile } from '../profile/profile.js';
import { hasPlaceForHeaders, placeForHeader } from './backup.js';

/** A dump that names no profile, or one that is to be left aside, by a profile; `name` is that of its file. */
export function boundBy(profile: Profile, unbound: Dump, name: string): Dump {
  const { rows, notation } = inNotationOf(
    profile,
    (head) => (formOf(unbound.notation.id) === undefined ? notationOf(name, head) : unbound.notation),
    unbound,
  );
  return bind(rows, notation, profile);
}

/** Whether a profile explains every line of a dump and every sum is right by it; one without sums explains nothing. */
export function explainsWhole(profile: Profile, unbound: Dump, name: string): boolean {
  return hasSums(profile) && isExplainedWhole(boundBy(profile, unbound, name));
}

/** The same of a dump that is bound to the profile. */
export function isExplainedWhole(dump: Dump): boolean {
  if (!hasSums(dump.profile)) return false;
  return dump.layout.unknown.length === 0 && allSumsRight(sumsLeft({ dump, profile: { kind: 'read' } }));
}

function hasSums({ lineSum, totals }: Profile): boolean {
  return lineSum !== undefined || totals.length > 0;
}

/**
 * Why a dump that a profile explains stays as it is and does not come to name it. One to compare with has to be read by one too.
 * `beside`: whoever asks can also write headers into the file beside a dump.
 */
export function whyNotNamed(unbound: Dump, profile: Profile, { beside = false } = {}): Phrase | undefined {
  if (isSealed(unbound)) return phrase('it is sealed.');
  if (isOfAnotherModule(unbound)) return phrase('it is of none of the modules here ("@use another-module").');
  const use = unclearUse(unbound);
  if (use !== undefined) return whyWrongUse(use.header);
  const named = headerValue(unbound, 'profile');
  if (named !== undefined) return phrase('it names {0} already.', named);
  if (!beside && !hasPlaceForHeaders(unbound)) return phrase('its form has no place for headers.');
  return whyNotThisModule({ ...unbound, profile })?.why;
}

/** The text of a dump that names a profile from then on. */
export function textNaming(dump: Dump, path: string): string {
  const { line, column, before, after } = placeForHeader(dump, 'profile');
  const rest = textOfRows(dump.rows.slice(line));
  const header = `${before}${path}${after}`;
  return `${textOfRows(dump.rows.slice(0, line))}${rest.slice(0, column)}${header}${rest.slice(column)}`;
}
