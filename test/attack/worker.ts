import { parentPort, workerData } from 'node:worker_threads';
import { seedOf } from '../support/dice.js';
import type { Attack } from './area.js';
import { AREAS } from './areas.js';

/** Cases of one area for one thread: every one of `step` from `from` on, below `to`. */
export interface Work {
  readonly area: string;
  readonly from: number;
  readonly to: number;
  readonly step: number;
}

export interface Told {
  readonly index: number;
  readonly failure: string | undefined;
  readonly milliseconds: number;
}

/** What a thread is begun with: the seed of the run, and where it tells which case it is at, so that one that hangs is known. */
export interface Begun {
  readonly seed: number;
  readonly at: SharedArrayBuffer;
}

const MOST_TOLD = 50;

if (parentPort !== null) {
  const port = parentPort;
  const { seed, at } = workerData as Begun;
  const place = new Int32Array(at);
  const opened = new Map<string, Attack>();
  port.on('message', async (work: Work | 'close') => {
    if (work === 'close') {
      for (const { close } of opened.values()) close?.();
      port.close();
      return;
    }
    const { area, from, to, step } = work;
    const attack = opened.get(area) ?? AREAS.find(({ name }) => name === area)?.open();
    if (attack === undefined) throw new RangeError(`no area ${area}`);
    opened.set(area, attack);
    let told: Told[] = [];
    for (let index = from; index < to; index += step) {
      place[0] = index;
      const start = performance.now();
      const failure = await attack.run(seedOf(seed, index)).catch((error: unknown) => crash(error));
      told.push({ index, failure, milliseconds: performance.now() - start });
      if (told.length >= MOST_TOLD) {
        port.postMessage({ told });
        told = [];
      }
    }
    port.postMessage({ told, done: true });
  });
}

function crash(error: unknown): string {
  return `crashed: ${error instanceof Error ? (error.stack ?? error.message).split('\n').slice(0, 4).join('\n') : String(error)}`;
}
