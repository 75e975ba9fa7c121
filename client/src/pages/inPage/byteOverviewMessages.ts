import type { ByteOverviewResult, OverviewByteResult } from '../../../../shared-core/src/index.js';

/** What the page of the byte overview says to the extension. */
export type FromOverview =
  | { readonly says: 'ready' }
  | { readonly says: 'lines'; readonly from: number; readonly count: number }
  | { readonly says: 'byte'; readonly row: number; readonly byte: number }
  | { readonly says: 'go'; readonly row: number; readonly byte: number };

/** What the extension says to the page. */
export type ToOverview =
  | { readonly says: 'words'; readonly words: OverviewWords }
  /** The dump has changed, or is another one. */
  | { readonly says: 'changed'; readonly name: string | null }
  | { readonly says: 'lines'; readonly map: ByteOverviewResult }
  | { readonly says: 'byte'; readonly found: OverviewByteResult }
  | { readonly says: 'cursor'; readonly at: number; readonly row: number; readonly byte: number };

/** Words of the page in the language of the editor; `{0}` and so on stand for parts. */
export interface OverviewWords {
  readonly noDump: string;
  readonly line: string;
  readonly cell: string;
  readonly roles: Readonly<Record<string, string>>;
  readonly changed: string;
  readonly wrong: string;
  readonly unreadable: string;
}
