import { writeBits } from '../base/bits.js';
import { hex } from '../base/hex.js';
import { bytesOfNumber } from '../base/number.js';
import { type Phrase, phrase } from '../base/phrase.js';
import type { ByteWrite } from '../model/byteWrite.js';
import { cellKey, presentCells, wholePlace } from '../model/cell.js';
import type { Dump } from '../model/dump.js';
import { readOption } from '../model/optionReading.js';
import { byteAt } from '../model/totals.js';
import { optionWidth } from '../profile/places.js';
import type { Option } from '../profile/profile.js';
import { isSecured } from '../profile/secured.js';

/** Byte writes, or the reason why there can be none. */
export type SetResult =
  | { readonly kind: 'writes'; readonly writes: readonly ByteWrite[] }
  | { readonly kind: 'refused'; readonly why: Phrase };

/** Sets an option to a raw value (the bits as a number). Sums are not touched: they are repaired afterwards. */
export function setOption(dump: Dump, option: Option, raw: bigint): SetResult {
  const never = whyNotByCommand(option);
  if (never !== undefined) return refused(never);
  const width = optionWidth(option);
  if (raw < 0n || raw >= 1n << BigInt(width)) {
    return refused(phrase('{0} has {1} bits and cannot hold {2}.', option.title, width, hex(raw < 0n ? -raw : raw)));
  }
  const cells = wholePlace(dump.layout, option.place);
  const bytes = cells?.map((cell) => byteAt(dump.rows, cell));
  if (cells === undefined || !bytes?.every((byte) => byte !== undefined)) {
    return refused(phrase('{0} cannot be set: its line is missing or cannot be read.', option.title));
  }
  const locked = dump.profile.locked.find(({ place }) => {
    const keys = new Set(presentCells(dump.layout, place).map(cellKey));
    return cells.some((cell) => keys.has(cellKey(cell)));
  });
  if (locked !== undefined) {
    return refused(phrase('{0} stands in bytes that are locked ({1}).', option.title, locked.why ?? ''));
  }
  const { bits } = option;
  const values =
    bits === undefined
      ? bytesOfNumber(raw, cells.length, option.order)
      : Uint8Array.of(writeBits(bytes[0] as number, bits, Number(raw)));
  return {
    kind: 'writes',
    writes: cells.map((cell, i) => ({ ...cell, value: values[i] as number, reason: 'option' })),
  };
}

/** Why no command changes an option, whatever the value: undefined where commands may. */
export function whyNotByCommand(option: Option): Phrase | undefined {
  if (!isSecured(option)) return undefined;
  return phrase(
    '{0} concerns the security of the vehicle (keys, immobiliser, alarm): it is shown, but no command changes it.',
    option.title,
  );
}

function refused(why: Phrase): SetResult {
  return { kind: 'refused', why };
}

/** One value that an option may be set to, in words. */
export interface Choice {
  readonly raw: bigint;
  readonly words: string;
  /** Whether the dump holds it now. */
  readonly current: boolean;
}

/** The values an option can be chosen from; empty where it is a number or a text. */
export function choicesOf(dump: Dump, option: Option): readonly Choice[] {
  const now = readOption(dump, option)?.raw;
  if (option.meaning.kind === 'values') {
    return [...option.meaning.words].map(([value, words]) => ({
      raw: BigInt(value),
      words,
      current: now === BigInt(value),
    }));
  }
  if (option.meaning.kind !== 'flags' || now === undefined) return [];
  return [...option.meaning.words].map(([bit, words]) => ({ raw: now ^ (1n << BigInt(bit)), words, current: false }));
}

/** The raw value of an option of flags with just these bits set; bits that the profile has no words for stay as they are. */
export function flagsSet(dump: Dump, option: Option, bits: readonly number[]): bigint {
  const known = option.meaning.kind === 'flags' ? [...option.meaning.words.keys()] : [];
  const now = readOption(dump, option)?.raw ?? 0n;
  const mask = (of: readonly number[]) => of.reduce((all, bit) => all | (1n << BigInt(bit)), 0n);
  return (now & ~mask(known)) | mask(known.filter((bit) => bits.includes(bit)));
}
