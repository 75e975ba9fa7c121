import type { Steps } from '../../shared-core/src/base/index.js';
import { type CancellationToken, LSPErrorCodes, ResponseError } from './lsp.js';

/** Milliseconds that a search works before it lets others have their turn: a key pressed meanwhile waits no longer. */
const SLICE = 5;

/**
 * Does the steps of a search in slices, so that whoever types is served between them. A worker of its own would not
 * be faster on few cores, could not share what is loaded, and would have to be made in a different way in a browser.
 */
export async function inSlices<T>(steps: Steps<T>, token: CancellationToken): Promise<T> {
  for (;;) {
    const end = performance.now() + SLICE;
    do {
      const step = steps.next();
      if (step.done === true) return step.value;
    } while (performance.now() < end);
    await yieldToEventLoop();
    if (token.isCancellationRequested) throw new ResponseError(LSPErrorCodes.RequestCancelled, 'Cancelled.');
  }
}

/**
 * For work in many parts: a function to be awaited between two of them, which now and then lets others have their turn,
 * and ends the work where the client has taken its request back.
 */
export function pauses(token?: CancellationToken): () => Promise<void> {
  let end = performance.now() + SLICE;
  return async () => {
    if (performance.now() < end) return;
    await yieldToEventLoop();
    if (token !== undefined) endIfCancelled(token);
    end = performance.now() + SLICE;
  };
}

/** A request that the client has taken back ends with the error for that, never with half an answer. */
export function endIfCancelled(token: CancellationToken): void {
  if (token.isCancellationRequested) throw new ResponseError(LSPErrorCodes.RequestCancelled, 'Cancelled.');
}

/** A key pressed comes as two messages, a change and a question, and a timer may run between them: two let both through. */
async function yieldToEventLoop(): Promise<void> {
  for (let timers = 0; timers < 2; timers++) {
    await new Promise<void>((resolve) => {
      setTimeout(resolve, 0);
    });
  }
}
