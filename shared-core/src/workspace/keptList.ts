import type { FileList } from './listFiles.js';

/** Dumps at hand, and why others may be missing in the list. */
export type DumpList = Pick<FileList, 'dumps' | 'unlisted'>;

/** A list of dumps that is read once, until a file is heard of that is not in it. */
export interface KeptList {
  readonly get: () => Promise<DumpList>;
  readonly heardOf: (file: string) => void;
  readonly forget: () => void;
}

/** Where nobody tells of files (`keeps` is false), the list is read each time. */
export function keptList(read: () => Promise<DumpList>, keeps: boolean): KeptList {
  let reading: Promise<DumpList> | undefined;
  let known: readonly string[] | undefined;
  const forget = () => {
    reading = undefined;
    known = undefined;
  };
  return {
    get: () => {
      if (reading !== undefined && keeps) return reading;
      const now = read();
      reading = now;
      now.then(
        ({ dumps }) => {
          if (reading === now) known = dumps;
        },
        () => {
          if (reading === now) forget();
        },
      );
      return now;
    },
    heardOf: (file) => {
      // What is being read just now may miss the file.
      if (known?.includes(file) !== true) forget();
    },
    forget,
  };
}
