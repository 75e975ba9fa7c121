import { canonicalUri, createUriMap } from '../../shared-core/src/workspace/index.js';

/** Names what was said of a file: the same as long as nothing else is said of it, and never again for anything else. */
export type ResultIds = (uri: string, said: unknown) => string;

/** An editor may remember names of a server that ran before: those of this one begin with the time at which it started. */
export function createResultIds(): ResultIds {
  const began = Date.now().toString(36);
  const last = createUriMap<{ readonly text: string; readonly id: string }>();
  let count = 0;
  return (uri, said) => {
    const file = canonicalUri(uri);
    const text = JSON.stringify(said);
    const before = last.get(file);
    if (before?.text === text) return before.id;
    const id = `${began}.${++count}`;
    last.set(file, { text, id });
    return id;
  };
}
