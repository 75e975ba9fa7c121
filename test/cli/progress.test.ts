import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { finishTelling, writeTelling } from '../../server/src/cli/progress.js';
import { type Phrase, say, type TextSink } from '../../shared-core/src/base/index.js';

/** Work of so many steps, each of which takes so many milliseconds of a clock of its own. */
function worked(steps: number, milliseconds: number, fails = false) {
  let time = 0;
  const said: string[] = [];
  function* work(): Generator<undefined, string, undefined> {
    for (let step = 0; step < steps; step++) {
      time += milliseconds;
      yield;
    }
    if (fails) throw new RangeError('no answer');
    return 'answer';
  }
  const run = () =>
    finishTelling(
      work(),
      (phrase: Phrase) => said.push(say(phrase)),
      () => said.push('taken back'),
      () => time,
    );
  return { run, said };
}

describe('work on a terminal', () => {
  it('is told each second, and what was told is taken back', () => {
    const { run, said } = worked(50, 50);
    assert.equal(run(), 'answer');
    assert.deepEqual(said, [
      'At work for 1 s. Ctrl+C ends it, and nothing is written.',
      'At work for 2 s. Ctrl+C ends it, and nothing is written.',
      'taken back',
    ]);
  });

  it('of less than a second is not told', () => {
    const { run, said } = worked(10, 99);
    assert.equal(run(), 'answer');
    assert.deepEqual(said, []);
  });

  it('that fails leaves nothing on the line', () => {
    const { run, said } = worked(2, 1000, true);
    assert.throws(run, /no answer/);
    assert.deepEqual(said, [
      'At work for 1 s. Ctrl+C ends it, and nothing is written.',
      'At work for 2 s. Ctrl+C ends it, and nothing is written.',
      'taken back',
    ]);
  });

  it('of writing is told between two pieces, and all of them are written', () => {
    let time = 0;
    const said: string[] = [];
    const written: string[] = [];
    const sink = {
      ascii: (bytes: Uint8Array) => written.push(Buffer.from(bytes).toString('latin1')),
      text: (text: string) => {
        time += 700;
        written.push(text);
      },
    };
    const write = ({ ascii, text }: TextSink) => {
      ascii(Buffer.from('a'));
      for (const piece of ['b', 'c', 'd']) text(piece);
    };
    writeTelling(
      write,
      sink,
      (phrase: Phrase) => said.push(say(phrase)),
      () => said.push('taken back'),
      () => time,
    );
    assert.deepEqual(written, ['a', 'b', 'c', 'd']);
    assert.deepEqual(said, [
      'At work for 1 s. Ctrl+C ends it, and nothing is written.',
      'At work for 2 s. Ctrl+C ends it, and nothing is written.',
      'taken back',
    ]);
  });
});
