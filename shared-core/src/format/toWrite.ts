import type { PageWriter } from '../base/pageWriter.js';

/** A header, a comment or a title among the data of a dump. */
export type Remark =
  | { readonly kind: 'header'; readonly name: string; readonly value: string }
  | { readonly kind: 'comment'; readonly text: string }
  | { readonly kind: 'title'; readonly bytes: Uint8Array };

/** What a form writes: a dump as bytes at addresses, cut into lines, with what people wrote between them. */
export interface ContentsToWrite {
  /** The address after the highest that anything is at. */
  readonly top: number;
  readonly start: number | undefined;
  /** Data bytes of a line. */
  readonly width: number;
  readonly lineEnd: '\r\n' | '\n' | '\r';
  /** Gives the data in the order of the file; the bytes hold only during the call. Data end a line before a remark that is wanted. */
  readonly forEachLine: (give: (address: number, data: Uint8Array) => void, remark?: (remark: Remark) => void) => void;
  /** Headers that are kept, for forms that write them behind the data. */
  readonly headers: readonly { readonly name: string; readonly value: string }[];
}

export function endLine(page: PageWriter, lineEnd: ContentsToWrite['lineEnd']): void {
  if (lineEnd !== '\n') page.character(0x0d);
  if (lineEnd !== '\r') page.character(0x0a);
}

/** Headers behind the end of an image, where programs that read it do not look. */
export function writeHeaders({ headers, lineEnd }: ContentsToWrite, sign: string, page: PageWriter): void {
  for (const { name, value } of headers) page.text(`${sign} @${name} ${value}`.trimEnd() + lineEnd);
}
