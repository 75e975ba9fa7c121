// How much work it takes to solve tasks of many kinds. Who waits for a repair waits for this; a search that takes a worse way
// still finds its change, later or not within its budget. Measured, and allowed to be a little more.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { solveTask, solveTaskInSteps } from '../../../shared-core/src/repair/solver/solve.js';
import { bringsAbout } from '../../../shared-core/src/repair/solver/sums.js';
import { plantedTask } from '../../scoring/plantedSums.js';
import { numbers } from '../learn/dumps.js';

type Row = readonly [sums: string, bytes: number, masked: boolean, claim: 'fewest' | 'some', ...steps: number[]];

/** Of each two tasks, by where their numbers begin: the steps it takes. */
const BEGINNINGS = [11, 12];

const WORK: Readonly<Record<string, readonly Row[]>> = {
  'of a line with a narrow sum': [
    ['crc8 flet16', 4, false, 'fewest', 283_660, 283_660],
    ['crc8 flet16', 5, false, 'fewest', 349_455, 349_455],
    ['crc8 flet16', 5, true, 'fewest', 275_461, 275_205],
    ['crc8 adler', 6, false, 'some', 415_394, 415_394],
    ['crc8 adler', 8, false, 'fewest', 546_840, 546_840],
    ['crc8 add32/4', 8, false, 'some', 547_000, 547_000],
    ['add8 crc16', 4, false, 'fewest', 24_676, 24_676],
    ['add8 crc16', 4, true, 'fewest', 26_314, 53_802],
    ['add8 crc16', 6, false, 'fewest', 29_152, 29_152],
    ['add8 crc16', 6, true, 'fewest', 32_564, 32_564],
    ['xor8 flet16', 4, false, 'fewest', 283_660, 283_660],
    ['add8 ones16', 4, true, 'fewest', 410_435, 410_435],
  ],
  'of a line with a sum of 16 bits': [
    ['add16 xor16', 3, false, 'some', 77_620, 78_740],
    ['add16 xor16', 3, true, 'some', 31_644, 36_828],
    ['add16 xor16', 5, false, 'some', 133_836, 148_632],
    ['add16 xor16', 5, true, 'some', 83_820, 100_628],
    ['crc16 add16', 5, false, 'fewest', 127_500, 127_500],
    ['crc16 add16', 5, true, 'some', 82_588, 82_588],
    ['flet16 add16', 6, false, 'some', 153_000, 153_600],
    ['flet16 add16', 6, true, 'some', 108_600, 108_600],
    ['ones16 crc16', 6, false, 'some', 153_150, 153_140],
    ['ones16 crc16', 6, true, 'some', 108_180, 108_180],
    ['add16/2 flet32', 8, false, 'some', 204_600, 204_600],
    ['add16/2 flet32', 8, true, 'some', 159_600, 159_600],
    ['crc16 crc32', 8, false, 'fewest', 1_918, 4_963],
    ['crc16 crc32', 8, true, 'fewest', 9_329, 9_325],
  ],
  'of a line with a wide sum': [
    ['add32/4 crc32', 10, false, 'some', 256_024, 255_256],
    ['add32/4 crc32', 10, true, 'some', 212_592, 215_184],
    ['crc32 add16', 8, false, 'fewest', 204_000, 204_000],
    ['crc32 add16', 8, true, 'fewest', 159_000, 159_000],
    ['flet32 crc16', 9, false, 'some', 229_724, 230_620],
    ['flet32 crc16', 9, true, 'some', 186_548, 185_524],
    ['adler crc32', 12, false, 'some', 542_544, 387_664],
    ['adler crc32', 12, true, 'some', 398_952, 343_368],
    ['flet32 add32/4', 10, false, 'some', 255_600, 255_600],
    ['flet32 add32/4', 10, true, 'some', 210_600, 210_600],
    ['xor32 adler', 12, false, 'some', 306_256, 306_256],
    ['xor32 adler', 12, true, 'some', 261_288, 261_864],
  ],
  'under two totals': [
    ['crc8 flet32 xor32', 14, false, 'some', 300_336, 300_165],
    ['crc8 flet32 xor32', 14, true, 'some', 234_848, 61_508],
    ['add8 add16/2 crc16', 7, false, 'some', 32_464, 31_696],
    ['add16 flet16 xor16', 8, false, 'some', 346_272, 212_064],
    ['add16 flet16 xor16', 8, true, 'some', 696_376, 234_040],
  ],
};

describe('the work of a repair', () => {
  it('is enough to go through all values of a line sum of 16 bits, and so to say that the bytes are the fewest', () => {
    const task = plantedTask({ line: 'ones16', totals: ['adler'], bytes: 2, masked: false }, numbers(11));
    const answer = solveTask(task, { steps: 16_000_000 });
    assert.ok(answer.kind === 'solved' && answer.fewest && bringsAbout(task, answer.change));
  });

  for (const [name, rows] of Object.entries(WORK))
    describe(name, () => {
      for (const [sums, bytes, masked, claim, ...most] of rows)
        it(`is no more than it was: ${sums} by ${bytes} bytes${masked ? ' and some with masks' : ''}`, () => {
          const [line = '', ...totals] = sums.split(' ');
          for (const [i, beginning] of BEGINNINGS.entries()) {
            const task = plantedTask({ line, totals, bytes, masked }, numbers(beginning));
            const allowance = { left: 100_000_000 };
            const search = solveTaskInSteps(task, { steps: 4_000_000, allowance });
            let next = search.next();
            let pauses = 0;
            for (; !next.done; next = search.next()) pauses++;
            const answer = next.value;
            assert.ok(answer.kind === 'solved' && bringsAbout(task, answer.change), `${beginning}`);
            if (claim === 'fewest') assert.ok(answer.fewest, `${beginning}`);
            const steps = 100_000_000 - allowance.left;
            assert.ok(steps <= 1.02 * (most[i] as number), `${beginning}: ${steps} steps`);
            // Each takes time as well, about as much as some steps.
            assert.ok(pauses <= 5 + steps / 150, `${beginning}: ${pauses} pauses`);
          }
        });
    });
});
