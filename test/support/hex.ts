/** The bytes of a run of hex digit pairs; blanks between pairs are passed over. Throws on anything else: for values written in the tests. */
export function bytesOfHex(text: string): Uint8Array {
  const digits = text.replace(/\s+/g, '');
  if (!/^(?:[0-9a-f]{2})*$/i.test(digits)) throw new RangeError(`not pairs of hex digits: ${text}`);
  return Uint8Array.from(digits.match(/../g) ?? [], (pair) => Number.parseInt(pair, 16));
}
