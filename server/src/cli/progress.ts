import {
  finish,
  type Phrase,
  phrase,
  type RunSteps,
  type Steps,
  type TextSink,
} from '../../../shared-core/src/base/index.js';
import { besideText, isTerminal } from './print.js';
import { sayOnTerminal } from './say.js';

const STDERR = 2;
/** How many steps are few enough to need no count. */
const FEW = 50;
/** Milliseconds between two looks of a person at the same line. */
const LOOK = 1000;

/** A count on a terminal, once there is much to do. */
export function showProgress(done: number, of: number): void {
  if (of < FEW || !isTerminal(STDERR)) return;
  if (done === of) clear();
  else show(phrase('{0} of {1}', done, of));
}

/** Does all steps; on a terminal it is said how long that takes, each second. */
export function finishShown<T>(steps: Steps<T>): T {
  return isTerminal(STDERR) ? finishTelling(steps, show, clear) : finish(steps);
}

/** The same for files that are read: nobody else waits meanwhile. */
export const runShown: RunSteps = async (steps) => finishShown(steps);

/** Does all steps and tells each second how many have gone by; what was told is taken back at the end. */
export function finishTelling<T>(steps: Steps<T>, tell: Tell, takeBack: () => void, now?: () => number): T {
  return telling(tell, takeBack, now, (tick) => {
    for (;;) {
      const step = steps.next();
      if (step.done === true) return step.value;
      tick();
    }
  });
}

/** Writes a file; on a terminal it is said how long that takes. */
export function writtenShown(write: (sink: TextSink) => void): (sink: TextSink) => void {
  return isTerminal(STDERR) ? (sink) => writeTelling(write, sink, show, clear) : write;
}

/** Writes and tells each second how many have gone by, between two pieces; what was told is taken back at the end. */
export function writeTelling(
  write: (sink: TextSink) => void,
  { ascii, text }: TextSink,
  tell: Tell,
  takeBack: () => void,
  now?: () => number,
): void {
  telling(tell, takeBack, now, (tick) => {
    const ticking =
      <Piece>(put: (piece: Piece) => void) =>
      (piece: Piece) => {
        put(piece);
        tick();
      };
    write({ ascii: ticking(ascii), text: ticking(text) });
  });
}

type Tell = (said: Phrase) => void;

function telling<T>(
  tell: Tell,
  takeBack: () => void,
  now: () => number = () => performance.now(),
  work: (tick: () => void) => T,
): T {
  const start = now();
  let told = 0;
  try {
    return work(() => {
      const seconds = Math.floor((now() - start) / LOOK);
      if (seconds === told) return;
      told = seconds;
      tell(phrase('At work for {0} s. Ctrl+C ends it, and nothing is written.', seconds));
    });
  } finally {
    if (told > 0) takeBack();
  }
}

function show(said: Phrase): void {
  besideText(`\r${sayOnTerminal(said)}`);
}

function clear(): void {
  besideText('\r\x1b[K');
}
