import type { Bases } from '../../shared-core/src/profile/extends.js';

/** Profiles that another one extends, those first that lie under the others, by their names. */
export function basesOf(texts: Readonly<Record<string, string>>): Bases {
  const files = Object.entries(texts).map(([name, text]) => ({
    ...{ file: `file:///car/${name}`, name, text },
    pathFrom: (path: string) => path,
  }));
  return { files, asked: files.map(({ file }) => file) };
}
