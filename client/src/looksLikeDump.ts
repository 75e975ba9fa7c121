/** Characters of the longest name that a person writes. */
const LONGEST_NAME = 120;

/** Bytes in a row that no name has. */
const BYTES = /(?:\b[0-9a-f]{2}\b[\s,;:|-]*){8}|[0-9a-f]{32}/i;

/** Whether a text in the place of a name is a dump that was pasted too early. A box for one line takes its lines as one. */
export function looksLikeDump(text: string): boolean {
  return text.length > LONGEST_NAME || /[\r\n]/.test(text.trim()) || BYTES.test(text);
}
