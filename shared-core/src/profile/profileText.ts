import { createScanner, type Node } from 'jsonc-parser';

/** A stretch of the profile's text, in UTF-16 units from its start, to be replaced. */
export interface ProfileEdit {
  readonly offset: number;
  readonly length: number;
  readonly text: string;
}

/** The text after edits, which are in rising order and do not overlap. */
export function editedProfile(profileText: string, edits: readonly ProfileEdit[]): string {
  return [...edits]
    .reverse()
    .reduce(
      (text, edit) => text.slice(0, edit.offset) + edit.text + text.slice(edit.offset + edit.length),
      profileText,
    );
}

export interface Style {
  /** White space before the first line of what is printed. */
  readonly indent: string;
  /** One step to the right. */
  readonly step: string;
  readonly lineEnd: string;
}

/** The comma goes behind the last child, and the new one behind whatever comments follow that. */
export function appended(text: string, list: Node, print: (style: Style) => string): ProfileEdit[] {
  const last = list.children?.at(-1);
  const close = list.offset + list.length - 1;
  const outer = styleOf(text, list.offset);
  const ownLine = last !== undefined && /(?:^|\n)[ \t]*$/.test(text.slice(0, last.offset));
  const style = ownLine ? styleOf(text, last.offset) : { ...outer, indent: outer.indent + outer.step };
  const before = text.slice(0, close).trimEnd();
  const onLine = before.length + (text.slice(before.length, close).includes('\n') ? 0 : close - before.length);
  const closing = onLine === close ? style.lineEnd + outer.indent : '';
  const entry = { offset: onLine, length: 0, text: `${style.lineEnd}${style.indent}${print(style)}${closing}` };
  if (last === undefined || hasComma(text, last.offset + last.length, close)) return [entry];
  return [{ offset: last.offset + last.length, length: 0, text: ',' }, entry];
}

/** Takes one value out of a list, with the comma behind it or before it. Comments beside it stay. */
export function removedChild(text: string, list: Node, child: Node): ProfileEdit {
  const end = child.offset + child.length;
  const scanner = createScanner(text.slice(end), true);
  if (scanner.scan() === COMMA) {
    const behind = end + scanner.getTokenOffset() + 1;
    const blanks = /^\s*/.exec(text.slice(behind))?.[0].length ?? 0;
    return { offset: child.offset, length: behind + blanks - child.offset, text: '' };
  }
  const before = list.children?.[list.children.indexOf(child) - 1];
  if (before === undefined) return { offset: child.offset, length: child.length, text: '' };
  const from = before.offset + before.length;
  const isPlain = /^\s*,\s*$/.test(text.slice(from, child.offset));
  return isPlain
    ? { offset: from, length: end - from, text: '' }
    : { offset: child.offset, length: child.length, text: '' };
}

/** Whether a comma stands between two places, outside comments. */
function hasComma(text: string, from: number, to: number): boolean {
  const scanner = createScanner(text.slice(from, to), true);
  return scanner.scan() === COMMA;
}

/** `SyntaxKind.CommaToken` of the scanner, whose constants cannot be imported one file at a time. */
const COMMA = 5;

export function printed(value: unknown, { indent, step, lineEnd }: Style): string {
  return JSON.stringify(value, undefined, step).replaceAll('\n', lineEnd + indent);
}

/** Indentation and line ends as the writer of the profile has them, for a value that begins at `offset`. */
export function styleOf(text: string, offset: number): Style {
  const line = text.slice(text.lastIndexOf('\n', offset - 1) + 1, offset);
  return {
    indent: /^[ \t]*/.exec(line)?.[0] ?? '',
    step: /\n([ \t]+)\S/.exec(text)?.[1] ?? '  ',
    lineEnd: text.includes('\r\n') ? '\r\n' : '\n',
  };
}
