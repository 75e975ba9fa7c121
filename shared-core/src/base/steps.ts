/**
 * Work that is done a step at a time: between two steps whoever runs it may do something else, or give up. The core
 * knows no clock and no event loop, so it leaves to them how long they stay away.
 */
export type Steps<T> = Generator<undefined, T, undefined>;

/** Does all steps in one go. */
export function finish<T>(steps: Steps<T>): T {
  for (;;) {
    const step = steps.next();
    if (step.done === true) return step.value;
  }
}

/** How whoever asks for work does its steps: in one go, or with pauses in which others have their turn. */
export type RunSteps = <T>(steps: Steps<T>) => Promise<T>;

/** Work for those who do not wait for others. */
export const inOneGo: RunSteps = async (steps) => finish(steps);
