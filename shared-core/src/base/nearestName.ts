/** The known name that is closest to what was written, where one is close enough to be meant; letter case does not count. */
export function nearestName(written: string, known: readonly string[]): string | undefined {
  const limit = Math.max(1, Math.floor(written.length / 3));
  let best: string | undefined;
  let least = limit + 1;
  for (const name of known) {
    // Each letter more or less is a step: without this look, a name of a million letters would take seconds.
    if (Math.abs(name.length - written.length) > limit) continue;
    const distance = editDistance(written.toLowerCase(), name.toLowerCase());
    if (distance < least) {
      least = distance;
      best = name;
    }
  }
  return best;
}

/** Letters to insert, remove or replace to make one word the other (Levenshtein 1965), with a swap of neighbours as one step. */
export function editDistance(a: string, b: string): number {
  let before: number[] = [];
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1];
      let least = Math.min(
        (row[j] as number) + 1,
        (next[j - 1] as number) + 1,
        (row[j - 1] as number) + (same ? 0 : 1),
      );
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) {
        least = Math.min(least, (before[j - 2] as number) + 1);
      }
      next.push(least);
    }
    before = row;
    row = next;
  }
  return row[b.length] as number;
}
