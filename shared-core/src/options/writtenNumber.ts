/** What a person may mean by a number that is written with a comma or a point. */
export interface WrittenNumber {
  /** The number as a decimal. */
  readonly number: number;
  /** The other number that is meant where the comma or the point parts thousands, which neither ever does here. */
  readonly thousands: number | undefined;
}

/**
 * Reads `12.5`, `12,5`, `+12`, `−3` and `0x1F`, with the unit behind or without. Blanks of any kind may be around the
 * number and before the unit, as programs put no-break spaces there.
 */
export function readWrittenNumber(written: string, unit: string): WrittenNumber | undefined {
  const [text, suffix] = [tidy(written), tidy(unit)];
  const bare = suffix !== '' && text.endsWith(suffix) ? text.slice(0, -suffix.length).trim() : text;
  const [, sign = '', digits = ''] =
    /^([-+\u2212]?)(0x[0-9a-f]{1,12}|\d{1,15}(?:[.,]\d{1,15})?(?:e[-+\u2212]?\d{1,2})?)$/i.exec(bare) ?? [];
  if (digits === '') return undefined;
  const signed = (plain: string) => (sign === '' || sign === '+' ? Number(plain) : -Number(plain));
  const plain = digits.replace('\u2212', '-');
  const number = signed(plain.replace(',', '.'));
  // With a point that is how the number is shown, it is that number: 1.125, but not 20.000.
  const isPlain = String(Math.abs(number)) === plain;
  return {
    number,
    thousands: /^[1-9]\d{0,2}[.,]\d{3}$/.test(plain) && !isPlain ? signed(plain.replace(/[.,]/, '')) : undefined,
  };
}

/** One form for characters that look alike to people: all blanks are a space, one kind of µ, Ω and °C. */
function tidy(text: string): string {
  return text.normalize('NFKC').replace(/\s+/g, ' ').trim();
}
