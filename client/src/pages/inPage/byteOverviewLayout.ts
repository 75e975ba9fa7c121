import type { Place } from './byteOverviewMessages.js';

/** How the bytes of the lines are laid out. */
export interface OverviewLayout {
  /** Bytes beside each other. */
  readonly columns: number;
  /** Of a line, from top to bottom; one of them is `step` high, in pixels. */
  readonly parts: number;
  readonly step: number;
}

/** Room for one byte with what is around it, and the height of one row of them, in pixels: as in the style. */
const SIZES = { roomy: { width: 34, height: 26 }, small: { width: 11, height: 12 } };

/** Whole lines where there is room for them; else lines in parts of 16, 8, 4 … bytes, so that nothing has to be scrolled sideways. */
export function layoutOf(room: number, widest: number, isSmall: boolean): OverviewLayout {
  const { width, height } = isSmall ? SIZES.small : SIZES.roomy;
  const fit = Math.max(1, Math.floor(room / width));
  const columns = widest <= fit ? Math.max(1, widest) : 2 ** Math.floor(Math.log2(fit));
  return { columns, parts: Math.max(1, Math.ceil(widest / columns)), step: height };
}

/**
 * The place some rows above or below one, of lines in parts; where there is no more, the last one on the way.
 * `lengthOf` tells how many bytes a line has; undefined where there is no such line.
 */
export function vertically(
  from: Place,
  by: number,
  { columns }: OverviewLayout,
  lengthOf: (at: number) => number | undefined,
): Place {
  const partsOf = (at: number) => Math.ceil(Math.max(1, lengthOf(at) ?? 0) / columns);
  let [at, part] = [from.at, Math.floor(from.byte / columns)];
  for (let left = Math.abs(by); left > 0; left--) {
    part += Math.sign(by);
    const isOver = part < 0 || part >= partsOf(at);
    if (isOver && lengthOf(at + Math.sign(by)) === undefined) {
      part -= Math.sign(by);
      break;
    }
    if (isOver) {
      at += Math.sign(by);
      part = by > 0 ? 0 : partsOf(at) - 1;
    }
  }
  return { at, byte: part * columns + (from.byte % columns) };
}
