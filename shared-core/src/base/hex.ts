const NOT_A_DIGIT = 0xff;

/**
 * Value of the hex digit with each UTF-16 code, 255 where it is none. A table of all codes is read without a call or a
 * comparison, which counts where a text has just been opened and no code is warm.
 */
export const DIGIT_VALUES: Readonly<Uint8Array> = digitValues();

function digitValues(): Uint8Array {
  const values = new Uint8Array(0x10000).fill(NOT_A_DIGIT);
  for (const [value, digit] of [...'0123456789abcdef'].entries()) {
    values[digit.charCodeAt(0)] = value;
    values[digit.toUpperCase().charCodeAt(0)] = value;
  }
  return values;
}

/** Value of the hex digit with this UTF-16 code, or 255 where it is none. */
export function digitValue(code: number): number {
  return DIGIT_VALUES[code] ?? NOT_A_DIGIT;
}

export function isHexDigit(code: number): boolean {
  return digitValue(code) !== NOT_A_DIGIT;
}

/** Whether a text is nothing but hex digits, at least one. */
export function isHexWord(text: string): boolean {
  return /^[0-9A-F]+$/i.test(text);
}

/** A number in upper-case hex, filled with zeros to `digits`. */
export function hex(value: number | bigint, digits = 2): string {
  return value.toString(16).toUpperCase().padStart(digits, '0');
}

const BYTES_IN_HEX = Array.from({ length: 256 }, (_, byte) => hex(byte));

/** Bytes in upper-case hex, two digits each, with `between` set between bytes. */
export function hexBytes(bytes: Iterable<number>, between = ''): string {
  const texts: string[] = [];
  for (const byte of bytes) texts.push(BYTES_IN_HEX[byte] ?? hex(byte));
  return texts.join(between);
}

/** A byte as people read it; where there is none, a dash, or what stands for it. */
export function digitsOf(value: number | undefined, none = '–'): string {
  return value === undefined ? none : hex(value);
}
