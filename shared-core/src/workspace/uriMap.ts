import { canonicalUri } from './uri.js';

/** Values by addresses, in whatever form an editor writes them. */
export interface UriMap<V> {
  readonly get: (uri: string) => V | undefined;
  readonly has: (uri: string) => boolean;
  readonly set: (uri: string, value: V) => void;
  /** Whether there was a value. */
  readonly delete: (uri: string) => boolean;
  readonly clear: () => void;
  /** Addresses in their one form. */
  readonly keys: () => Iterable<string>;
  readonly values: () => Iterable<V>;
  readonly entries: () => Iterable<readonly [string, V]>;
}

export function createUriMap<V>(): UriMap<V> {
  const map = new Map<string, V>();
  return {
    get: (uri) => map.get(canonicalUri(uri)),
    has: (uri) => map.has(canonicalUri(uri)),
    set: (uri, value) => {
      map.set(canonicalUri(uri), value);
    },
    delete: (uri) => map.delete(canonicalUri(uri)),
    clear: () => map.clear(),
    keys: () => map.keys(),
    values: () => map.values(),
    entries: () => map.entries(),
  };
}
