/** A list of files that is read once, until a file is heard of that is not in it. */
export interface KeptList {
  readonly get: () => Promise<readonly string[]>;
  readonly heardOf: (file: string) => void;
  readonly forget: () => void;
}

/** Where nobody tells of files (`keeps` is false), the list is read each time. */
export function keptList(read: () => Promise<readonly string[]>, keeps: boolean): KeptList {
  let reading: Promise<readonly string[]> | undefined;
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
        (files) => {
          if (reading === now) known = files;
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
