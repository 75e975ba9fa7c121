/** What lies between what two lists (or texts) begin with and end with alike: from `start` to before the last `end`. */
export function commonEnds(
  before: ArrayLike<unknown>,
  after: ArrayLike<unknown>,
): { readonly start: number; readonly end: number } {
  const most = Math.min(before.length, after.length);
  let start = 0;
  while (start < most && before[start] === after[start]) start++;
  let end = 0;
  while (end < most - start && before[before.length - 1 - end] === after[after.length - 1 - end]) end++;
  return { start, end };
}
