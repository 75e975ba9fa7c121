import type { Profile } from '../../profile/profile.js';
import type { OptionPlace } from './partitions.js';
import { addressOfColumn, isWholeByte } from './placeInWords.js';

/** What an option of a profile is called that is at a place, no bit more or less; undefined where none is. */
export function titleAt(
  { options }: Profile,
  { line, byte, count, bits }: OptionPlace,
  isImage: boolean,
): string | undefined {
  const found = options.find(({ parts }) => {
    const [part, ...more] = parts;
    if (part === undefined || more.length > 0 || part.place.count !== count) return false;
    const { place, bits: own } = part;
    const isThere =
      place.kind === 'line'
        ? !isImage && place.line === line && place.byte === byte
        : isImage && place.address === addressOfColumn({ line, byte });
    const areBits = own === undefined ? isWholeByte(bits) : own.high === bits.high && own.low === bits.low;
    return isThere && areBits;
  });
  return found?.title;
}
