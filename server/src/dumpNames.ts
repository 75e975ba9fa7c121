import { pathParts } from '../../shared-core/src/workspace/index.js';

/** Addresses as people tell files apart: without the folders that all of them share. */
export function dumpNames(uris: readonly string[]): readonly string[] {
  const paths = uris.map(pathParts);
  const [first = []] = paths;
  let shared = 0;
  while (shared < first.length - 1 && paths.every((path) => path[shared] === first[shared])) shared++;
  return paths.map((path) => path.slice(shared).join('/'));
}
