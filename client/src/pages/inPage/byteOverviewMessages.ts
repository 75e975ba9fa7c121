import type { ByteOverviewResult } from '../../../../shared-core/src/protocol/byteOverview.js';

/** What the page of the byte overview says to the extension. */
export type FromOverview =
  | { readonly says: 'ready' }
  | { readonly says: 'lines'; readonly from: number; readonly count: number }
  | ({ readonly says: 'byte' } & Place)
  | ({ readonly says: 'go' } & Place);

export interface Place {
  /** Of the lines, counted from 0. */
  readonly at: number;
  readonly byte: number;
}

/** What the extension says to the page. */
export type ToOverview =
  | { readonly says: 'words'; readonly words: OverviewWords }
  /** The dump has changed, or is another one. */
  | { readonly says: 'changed'; readonly name: string | null }
  | { readonly says: 'lines'; readonly map: ByteOverviewResult }
  /** What a byte is, in sentences; none where there is no such byte. */
  | ({ readonly says: 'byte'; readonly lines: readonly string[] } & Place)
  /** The byte at the cursor of the text, where that is at one. */
  | { readonly says: 'cursor'; readonly place: Place | null };

/** Words of the page in the language of the editor; `{0}` and so on stand for parts. */
export interface OverviewWords {
  readonly noDump: string;
  readonly heads: Readonly<Record<ByteOverviewResult['rows'], string>>;
  readonly line: string;
  readonly cell: string;
  /** Of a byte at an address. */
  readonly addressed: string;
  readonly roles: Readonly<Record<string, string>>;
  readonly changed: string;
  readonly wrong: string;
  readonly unreadable: string;
}
