import { hitsIn } from './hits.js';
import { maskedBytes, runsOf } from './maskedBytes.js';
import { BETWEEN, type Mask } from './masks.js';

/** Characters of a value that count where they are found side by side in what people wrote. */
const LEAST_IN_TEXT = 6;

/**
 * A text in which no value is left that is to be masked: with blanks or dashes in it, from last to first, or as the hex
 * of its bytes.
 */
export function maskedText(
  text: string,
  masks: readonly Mask[],
): { readonly text: string; readonly found: readonly Mask[] } {
  const characters = text.split('');
  const found = new Set<Mask>();
  const places = characters.flatMap((character, at) => (BETWEEN.test(character) ? [] : [at]));
  const codes = places.map((at) => text.charCodeAt(at));
  const runs = masks.flatMap((mask) => {
    const written = mask.text.split('').map((character) => (BETWEEN.test(character) ? '' : character));
    const kept = [...written.keys()].filter((at) => written[at] !== '');
    const wanted = written.join('');
    if (wanted.length === 0) return [];
    const least = mask.inParts ? Math.min(LEAST_IN_TEXT, wanted.length) : wanted.length;
    return (mask.asWord === true ? [false] : [false, true]).flatMap((reversed) =>
      runsOf(hitsIn(codes, wanted, { least, reversed }), 1).map((hits) => ({
        mask,
        puts: hits.map(({ at, character }) => ({
          place: places[at] as number,
          now: mask.mask.charAt(kept[character] as number),
        })),
      })),
    );
  });
  const isWhole = (first: number, last: number) =>
    !LETTER.test(text.charAt(first - 1)) && !LETTER.test(text.charAt(last + 1));
  const known = new Set<number>();
  for (const { mask, puts } of runs.sort((a, b) => b.puts.length - a.puts.length)) {
    if (mask.asWord === true && !isWhole(puts[0]?.place ?? 0, puts.at(-1)?.place ?? 0)) continue;
    for (const { place, now } of puts) {
      if (known.has(place)) continue;
      known.add(place);
      characters[place] = likeCase(text.charAt(place), now);
      found.add(mask);
    }
  }
  for (const mask of maskHex(text, characters, masks)) found.add(mask);
  return { text: characters.join(''), found: [...found] };
}

const LETTER = /[\p{L}\p{N}]/u;

function likeCase(was: string, now: string): string {
  return was !== was.toUpperCase() ? now.toLowerCase() : now;
}

/** Fewer bytes than these in hex say too little. */
const LEAST_HEX = 4;

/** Masks values that are written as the hex of their bytes. */
function maskHex(text: string, characters: string[], masks: readonly Mask[]): readonly Mask[] {
  const found: Mask[] = [];
  for (const { 0: run, index } of text.matchAll(/(?:[0-9A-F](?:[\s._:,;-]|0x)*)+/gi)) {
    const digits = [...run.matchAll(/0x|([0-9A-F])/gi)].flatMap((one) =>
      one[1] === undefined ? [] : index + one.index,
    );
    for (const from of [0, 1]) {
      const places = digits.slice(from);
      const count = places.length >> 1;
      if (count < LEAST_HEX) continue;
      const bytes = Uint8Array.from({ length: count }, (_, i) =>
        Number.parseInt(text.charAt(places[2 * i] as number) + text.charAt(places[2 * i + 1] as number), 16),
      );
      const masked = maskedBytes(bytes, masks);
      // Values that are digits are found as such already.
      const ofCharacters = masked.found.filter(({ coding }) => coding !== 'bcd' && coding !== 'hex');
      for (const { mask } of ofCharacters) found.push(mask);
      if (ofCharacters.length === 0) continue;
      for (const [i, byte] of masked.bytes.entries()) {
        if (byte === bytes[i]) continue;
        for (const half of [0, 1]) {
          const place = places[2 * i + half] as number;
          characters[place] = likeCase(text.charAt(place), ((byte >> (4 - 4 * half)) & 15).toString(16).toUpperCase());
        }
      }
    }
  }
  return found;
}

/** Whether anything that is to be masked is in a text. */
export function isOpenIn(text: string, masks: readonly Mask[]): boolean {
  return maskedText(text, masks).found.length > 0;
}
