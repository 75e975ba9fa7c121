/** A value in one spelling, whatever the order of its keys, to tell whether two are the same. */
export function sorted(value: unknown): string {
  if (typeof value === 'bigint') return `${value}`;
  if (value instanceof Map) return sorted([...value]);
  if (Array.isArray(value)) return `[${value.map(sorted).join(', ')}]`;
  if (typeof value !== 'object' || value === null) return JSON.stringify(value);
  const entries = Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1));
  return `{${entries.map(([key, one]) => `${JSON.stringify(key)}: ${sorted(one)}`).join(', ')}}`;
}
