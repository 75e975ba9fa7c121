/** Numbers as if by chance, each below `end`, and always the same: a search gives the same answer each time. */
export type Chance = (end: number) => number;

export function chanceFrom(seed: number): Chance {
  let state = seed | 1;
  return (end) => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) % end;
  };
}

/** The same things in another order (Fisher and Yates). */
export function shuffled<T>(all: readonly T[], chance: Chance): readonly T[] {
  const list = [...all];
  for (let i = list.length - 1; i > 0; i--) {
    const other = chance(i + 1);
    [list[i], list[other]] = [list[other] as T, list[i] as T];
  }
  return list;
}
