/** Order of the bytes of a number of more than one byte: `big` puts the most significant byte first. */
export type ByteOrder = 'big' | 'little';

/** The number that these bytes hold. */
export function numberOf(bytes: Uint8Array, order: ByteOrder): bigint {
  let value = 0n;
  for (let i = 0; i < bytes.length; i++) {
    value = (value << 8n) | BigInt(bytes[order === 'big' ? i : bytes.length - 1 - i] as number);
  }
  return value;
}

/** The lowest `count` bytes of a number that is not negative. */
export function bytesOfNumber(value: bigint, count: number, order: ByteOrder): Uint8Array {
  const bytes = new Uint8Array(count);
  for (let i = 0; i < count; i++) {
    bytes[order === 'big' ? count - 1 - i : i] = Number((value >> BigInt(8 * i)) & 0xffn);
  }
  return bytes;
}
