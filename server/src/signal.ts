/** Lets many wait for the next time that something happens. */
export interface Signal {
  /** Ends when it next happens. */
  readonly next: () => Promise<void>;
  readonly emit: () => void;
}

export function createSignal(): Signal {
  let waiting: (() => void)[] = [];
  return {
    next: () =>
      new Promise((resolve) => {
        waiting.push(resolve);
      }),
    emit: () => {
      const all = waiting;
      waiting = [];
      for (const goOn of all) goOn();
    },
  };
}
