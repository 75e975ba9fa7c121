/** All sets of `size` numbers below `count`, each in rising order; low numbers come first. */
export function* subsets(count: number, size: number): Generator<readonly number[]> {
  const chosen = Array.from({ length: size }, (_, i) => i);
  if (size > count) return;
  for (;;) {
    yield [...chosen];
    let at = size - 1;
    while (at >= 0 && chosen[at] === count - size + at) at--;
    if (at < 0) return;
    (chosen[at] as number)++;
    for (let i = at + 1; i < size; i++) chosen[i] = (chosen[i - 1] as number) + 1;
  }
}
