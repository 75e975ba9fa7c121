/** More rows than these are not named one by one. */
const MOST = 40;

/** Rows, counted from 0, as editors number them. */
export function rowsInWords(rows: readonly number[]): string {
  const named = rows.slice(0, MOST).map((row) => row + 1);
  return `${named.join(', ')}${rows.length > MOST ? ' …' : ''}`;
}
