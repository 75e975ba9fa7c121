// What follows from tables of figures: ratios beside what is wanted of them, and how figures grow with sizes.

/** For each row of a table, some columns divided by others, beside the goals. */
export function ratiosOf(rows, size, goals) {
  return rows.flatMap((row) =>
    goals.map(({ what, beside, goal }) => ({
      ...{ [size]: row[size], what, beside, ratio: row[`${what} ms`] / row[`${beside} ms`], goal },
    })),
  );
}

/** For each size of rows that come in pairs (ours, the peer's), each figure of ours divided by the peer's, beside the goal. */
export function pairRatiosOf(rows, size, goals) {
  return rows.flatMap((own, i) =>
    i % 2 === 1
      ? []
      : Object.entries(goals).map(([what, goal]) => ({
          ...{ [size]: own[size], what, ratio: own[what] / rows[i + 1][what], goal },
        })),
  );
}

/** By how much each figure grows from one size to the next; beside it, by how much the size does. */
export function growthOf(rows, size) {
  return rows.slice(1).map((row, i) => {
    const before = rows[i];
    const figures = Object.keys(row).filter((key) => key !== size && typeof row[key] === 'number');
    return {
      [size]: `${before[size]} → ${row[size]}`,
      factor: row[size] / before[size],
      ...Object.fromEntries(figures.map((key) => [key.replace(/ ms$/, ''), row[key] / before[key]])),
    };
  });
}
