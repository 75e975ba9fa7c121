/** The first of `count` indexes of which `isBelow` is false; `count` where it is true of all. It is true of the first ones only. */
export function lowerBound(count: number, isBelow: (index: number) => boolean): number {
  let low = 0;
  let high = count;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (isBelow(middle)) low = middle + 1;
    else high = middle;
  }
  return low;
}
