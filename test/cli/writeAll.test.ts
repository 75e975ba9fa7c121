import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { thisMachine } from '../../server/src/files/machine.js';
import { wait, writeAll } from '../../server/src/files/writeAll.js';

const failing = (code: string) => Object.assign(new Error(), { code });

describe('bytes for a pipe', () => {
  it('all go through, in order, however little it takes at once and however often it is full', () => {
    const taken: number[] = [];
    let calls = 0;
    writeAll(1, Uint8Array.of(1, 2, 3, 4, 5), (_handle, bytes, at) => {
      if (++calls % 3 === 0) throw failing('EAGAIN');
      const part = Buffer.from(bytes as Uint8Array).subarray(at as number, (at as number) + 2);
      taken.push(...part);
      return part.length;
    });
    assert.deepEqual(taken, [1, 2, 3, 4, 5]);
  });

  it('are given up where nobody reads them any more', () => {
    assert.throws(
      () =>
        writeAll(1, Uint8Array.of(1), () => {
          throw failing('EPIPE');
        }),
      /Error/,
    );
  });
});

describe('a run', () => {
  it('waits as long as it says', () => {
    const begun = performance.now();
    wait(20);
    assert.ok(performance.now() - begun >= 19);
  });

  it('is over only where the system knows no process of its number: one of somebody else is alive', () => {
    const { isAlive } = thisMachine();
    assert.deepEqual([isAlive(process.pid), isAlive(2 ** 22 + 1)], [true, false]);
    const { kill } = process;
    process.kill = () => {
      throw failing('EPERM');
    };
    try {
      assert.equal(isAlive(1), true);
    } finally {
      process.kill = kill;
    }
  });
});
