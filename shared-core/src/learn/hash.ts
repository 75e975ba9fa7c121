/** A hash of 32 bits with one more byte in it (FNV-1a); whatever it says is alike is compared before it counts. */
export function mixed(hash: number, byte: number): number {
  return Math.imul(hash ^ byte, 0x01000193);
}
