import { hex } from '../base/hex.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';
import type { ByteWrite } from '../model/byteWrite.js';
import { cellKey, wholePlace } from '../model/cell.js';
import { copiesInDoubt, withCopies } from '../model/copies.js';
import type { Dump } from '../model/dump.js';
import { putBits } from '../model/optionBits.js';
import { readOption } from '../model/optionReading.js';
import { protectedPlaces } from '../model/protected.js';
import { slotsInDoubt } from '../model/slots.js';
import { byteAt } from '../model/totals.js';
import { optionWidth, overlap, partMask } from '../profile/places.js';
import type { Option } from '../profile/profile.js';
import { isSecured } from '../profile/secured.js';
import { whyUnknown } from './knownValue.js';

/** Sets an option to a raw value (the bits as a number) that its profile knows. Copies get the same; sums are repaired afterwards. */
export function setOption(dump: Dump, option: Option, raw: bigint): Result<readonly ByteWrite[]> {
  const never = whyNotSettable(dump, option);
  if (never !== undefined) return refuse(never);
  const width = optionWidth(option);
  if (raw < 0n || raw >= 1n << BigInt(width)) {
    return refuse(phrase('{0} has {1} bits and cannot hold {2}.', option.title, width, hex(raw < 0n ? -raw : raw)));
  }
  const unknown = whyUnknown(option, raw, readOption(dump, option)?.raw);
  if (unknown !== undefined) return refuse(unknown);
  const parts = option.parts.map(({ place }) => wholePlace(dump.layout, place) ?? []);
  const writes = new Map<number, ByteWrite>();
  putBits(option, raw, (part, byte, put) => {
    const cell = parts[part]?.[byte];
    if (cell === undefined) return;
    const was = writes.get(cellKey(cell))?.value ?? byteAt(dump.rows, cell) ?? 0;
    writes.set(cellKey(cell), { ...cell, value: put(was), reason: 'option' });
  });
  return done(
    withCopies(
      dump,
      [...writes.values()].sort((a, b) => a.row - b.row || a.byte - b.byte),
    ),
  );
}

/** Why an option of a dump cannot be set, whatever the value; undefined where it can. */
export function whyNotSettable(dump: Dump, option: Option): Phrase | undefined {
  const never = whyNotByCommand(option);
  if (never !== undefined) return never;
  const unclear = slotsInDoubt(
    dump,
    option.parts.map(({ place }) => place),
  );
  if (unclear !== undefined) return phrase('{0} cannot be set: {1}', option.title, unclear);
  if (readOption(dump, option) === undefined)
    return phrase('{0} cannot be set: its line is missing or cannot be read.', option.title);
  const doubt = copiesInDoubt(
    dump,
    option.parts.map(({ place }) => place),
  );
  if (doubt !== undefined) return phrase('{0} cannot be set: {1}', option.title, doubt);
  const found = protectedPlaces(dump.profile).find(({ place, mask }) =>
    option.parts.some((part) => (mask & partMask(part)) !== 0 && overlap(place, part.place)),
  );
  switch (found?.kind) {
    case undefined:
      return undefined;
    case 'locked':
      return phrase('{0} is in bytes that are locked ({1}).', option.title, found.name);
    case 'security':
      return phrase(
        '{0} shares bits with "{1}", which concerns the security of the vehicle: no command changes these.',
        option.title,
        found.name,
      );
    case 'volatile':
      return phrase(
        '{0} is in bytes that change by themselves in the module ({1}): what is written there would not last.',
        option.title,
        found.name,
      );
  }
}

/** Why no command changes an option, whatever the value: undefined where commands may. */
export function whyNotByCommand(option: Option): Phrase | undefined {
  if (!isSecured(option)) return undefined;
  return phrase(
    '{0} concerns the security of the vehicle (keys, immobiliser, alarm): it is shown and never changed, except back to what the backup holds.',
    option.title,
  );
}
