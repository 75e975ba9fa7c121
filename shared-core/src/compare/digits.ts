import { hex } from '../base/hex.js';

/** A byte as people read it; a dash where there is none. */
export function digitsOf(value: number | undefined): string {
  return value === undefined ? '–' : hex(value);
}
