import assert from 'node:assert/strict';
import { Failure } from '../../server/src/files/failure.js';
import { type Fs, type Machine, thisMachine } from '../../server/src/files/machine.js';
import { say } from '../../shared-core/src/base/index.js';

/** A run that is not this process: told by its number, and dead once it is among those that are. */
export function run(
  pid: number,
  { alive = [pid], fs = {} }: { alive?: readonly number[]; fs?: Partial<Fs> } = {},
): Machine {
  const real = thisMachine();
  return {
    ...real,
    fs: { ...real.fs, ...fs },
    token: String(pid).padStart(12, '0'),
    pid,
    isAlive: (one) => alive.includes(one),
    wait: () => {},
  };
}

/** Why something was refused, in English. */
export function why(work: () => unknown): string {
  try {
    work();
  } catch (error) {
    if (error instanceof Failure) return say(error.said);
    throw error;
  }
  return assert.fail('it was done');
}
