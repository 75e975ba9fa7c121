import type { Host } from './host.js';
import type { UriMap } from './uriMap.js';

/** What was read of a file, with the stamp that the file had before. */
export interface Stamped<T> {
  readonly stamp: Promise<string | undefined>;
  readonly value: T;
}

/** Reads a file after its stamp is known, so that a change meanwhile shows. */
export function stamped<T>(
  { stamp: stampOf }: Pick<Host, 'stamp'>,
  file: string,
  read: () => Promise<T>,
): Stamped<Promise<T>> {
  const stamp = stampOf(file);
  return { stamp, value: stamp.then(read) };
}

/** Forgets what was read of files that are not surely as they were. */
export async function forgetChanged<T>(
  { stamp: stampOf }: Pick<Host, 'stamp'>,
  kept: Pick<UriMap<Stamped<T>>, 'entries' | 'get'>,
  forget: (file: string) => void,
): Promise<void> {
  for (const [file, one] of [...kept.entries()]) {
    const [then, now] = [await one.stamp, await stampOf(file)];
    if ((then === undefined || then !== now) && kept.get(file) === one) forget(file);
  }
}
