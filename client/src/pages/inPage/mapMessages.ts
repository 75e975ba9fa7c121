import type { MapByteResult, MapResult } from '../../../../shared-core/src/index.js';

/** What the page of the map says to the extension. */
export type FromMap =
  | { readonly says: 'ready' }
  | { readonly says: 'lines'; readonly from: number; readonly count: number }
  | { readonly says: 'byte'; readonly row: number; readonly byte: number }
  | { readonly says: 'go'; readonly row: number; readonly byte: number };

/** What the extension says to the page. */
export type ToMap =
  | { readonly says: 'words'; readonly words: MapWords }
  /** The dump has changed, or is another one. */
  | { readonly says: 'changed'; readonly name: string | null }
  | { readonly says: 'lines'; readonly map: MapResult }
  | { readonly says: 'byte'; readonly found: MapByteResult }
  | { readonly says: 'cursor'; readonly at: number; readonly row: number; readonly byte: number };

/** Words of the page in the language of the editor; `{0}` and so on stand for parts. */
export interface MapWords {
  readonly noDump: string;
  readonly line: string;
  readonly cell: string;
  readonly roles: Readonly<Record<string, string>>;
  readonly changed: string;
  readonly wrong: string;
  readonly unreadable: string;
}
