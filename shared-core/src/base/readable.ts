/**
 * Characters that command a terminal, turn the direction of reading or are not seen at all. Line ends are left, and
 * the joiners that scripts need.
 */
const UNSEEN = /(?![\n\u200C\u200D])[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]/gu;

const LINE_ENDS_AND_TABS = /[\t-\r\u0085\u2028\u2029]+/g;

/** More characters of one text than these help nobody; no text that a person wrote to be read has so many. */
const MOST = 4000;

/** The same text with nothing in it that cannot be seen: what could not is written by its number, such as \u202E. */
export function readable(text: string): string {
  return text.replace(UNSEEN, (character) => {
    const number = (character.codePointAt(0) ?? 0).toString(16).toUpperCase();
    return number.length > 4 ? `\\u{${number}}` : `\\u${number.padStart(4, '0')}`;
  });
}

/** A text from a file as part of a sentence, a label or a title: readable, on one line, and cut where it is endless. */
export function oneLine(text: string, most = MOST): string {
  const cut = text.length > most ? `${text.slice(0, most - 1).replace(/[\uD800-\uDBFF]$/, '')}…` : text;
  return readable(cut.replace(LINE_ENDS_AND_TABS, ' '));
}

/** More than this no notice of an editor shows, and no list. */
const MOST_IN_NOTICE = 1000;

/**
 * A text as an editor shows just that text. Titles, values and notes come from files of strangers: in a notice a link
 * could run a command, in a label `$(…)` would draw an icon. Everything that an editor says to a person goes through here.
 */
export function literal(text: string): string {
  return oneLine(text, MOST_IN_NOTICE)
    .replace(/\$(?=\()/g, '$ ')
    .replace(/\](?=\()/g, '] ');
}
