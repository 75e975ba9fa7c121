import { optionWidth } from '../profile/places.js';
import type { NumberMeaning, Option } from '../profile/profile.js';

type Sized = Pick<Option, 'parts'>;

/** A raw value after coding, sign, scale and offset, rounded to what the scale can tell apart; undefined where a digit is none. */
export function scaled(option: Sized, meaning: NumberMeaning, raw: bigint): number | undefined {
  const step = stepOf(option, meaning, raw);
  return step === undefined ? undefined : scaledStep(meaning, step);
}

/** The quantity of a stored number. */
export function scaledStep({ scale, offset }: Pick<NumberMeaning, 'scale' | 'offset'>, step: number): number {
  return Number((step * scale + offset).toFixed(Math.max(decimalsOf(scale), decimalsOf(offset))));
}

/** The least and the largest number that the bits can store. */
export function stepRange(option: Sized, { coding, signed }: NumberMeaning): readonly [least: number, largest: number] {
  const width = optionWidth(option);
  if (coding === 'bcd') return [0, 10 ** (width / 4) - 1];
  return signed ? [-(2 ** (width - 1)), 2 ** (width - 1) - 1] : [0, 2 ** width - 1];
}

/** The bits that store a whole number within the range. */
export function rawOfStep(option: Sized, { coding }: NumberMeaning, step: number): bigint {
  return coding === 'bcd' ? BigInt(`0x${step}`) : BigInt.asUintN(optionWidth(option), BigInt(step));
}

function stepOf(option: Sized, { coding, signed }: NumberMeaning, raw: bigint): number | undefined {
  if (coding === 'binary') return Number(signed ? BigInt.asIntN(optionWidth(option), raw) : raw);
  const digits = raw.toString(16);
  return /^\d+$/.test(digits) ? Number(digits) : undefined;
}

/** Digits after the point of a number as it is written: 0.05 has 2, and so has 5e-2. */
function decimalsOf(number: number): number {
  const [, behind = '', exponent = '0'] = /^-?\d+(?:\.(\d+))?(?:e([+-]\d+))?$/.exec(String(number)) ?? [];
  return Math.min(100, Math.max(0, behind.length - Number(exponent)));
}
