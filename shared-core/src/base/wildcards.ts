/** Whether a value fits a pattern with `*` (any text) and `?` (one character); letter case and blanks do not count. */
export function matches(value: string, pattern: string): boolean {
  const [text, wanted] = [value, pattern].map((one) => one.replace(/\s+/g, '').toUpperCase()) as [string, string];
  // One pass that goes back to the last star only, so that no pattern takes long.
  let [at, to, star, from] = [0, 0, -1, 0];
  while (at < text.length) {
    if (wanted[to] === '*') [star, from, to] = [to, at, to + 1];
    else if (wanted[to] === '?' || wanted[to] === text[at]) [at, to] = [at + 1, to + 1];
    else if (star >= 0) [from, at, to] = [from + 1, from + 1, star + 1];
    else return false;
  }
  while (wanted[to] === '*') to++;
  return to === wanted.length;
}
