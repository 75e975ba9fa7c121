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
