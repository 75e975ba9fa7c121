/** Mutual information in bits of the row and the column of a table of counts. */
export function mutualInformation(table: readonly (readonly number[])[]): number {
  const rows = table.map((row) => row.reduce((sum, count) => sum + count, 0));
  const columns = (table[0] ?? []).map((_, column) => table.reduce((sum, row) => sum + (row[column] as number), 0));
  const all = rows.reduce((sum, count) => sum + count, 0);
  let bits = 0;
  table.forEach((row, i) => {
    row.forEach((count, j) => {
      if (count > 0) bits += (count / all) * Math.log2((count * all) / ((rows[i] as number) * (columns[j] as number)));
    });
  });
  return Math.max(0, bits);
}

/**
 * What an observation is expected to tell, in bits, about which of several explanations is right: mutual information
 * of explanation and outcome. `chances` holds for each explanation the probability of each outcome.
 */
export function expectedGain(weights: readonly number[], chances: readonly (readonly number[])[]): number {
  return mutualInformation(chances.map((row, i) => row.map((chance) => chance * (weights[i] as number))));
}
