/** Text in UTF-8, without its mark; undefined for bytes that are no such text. */
export function textIn(bytes: Uint8Array): string | undefined {
  try {
    const text = new TextDecoder('utf-8', { fatal: true }).decode(bytes);
    return isText(text) ? text : undefined;
  } catch {
    return undefined;
  }
}

/** What shows in a text that it was made of bytes that are none, or are in another encoding. */
const NO_TEXT = /[^\P{Cc}\t\n\f\r]|\ufffd/u;

export function isText(text: string): boolean {
  return !NO_TEXT.test(text);
}
