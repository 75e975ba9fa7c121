import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { seedOf } from '../support/dice.js';
import { AREAS } from './areas.js';

/** So many of a hundred thousand cases: a few seconds. `npm run attack` does the others. */
const SHARE = 0.005;
const SEED = 20_260_302;

describe('a sample of the attack', () => {
  for (const { name, share, open } of AREAS) {
    it(name, async () => {
      const attack = open();
      const failures: string[] = [];
      const count = Math.max(2, Math.round(share * SHARE));
      for (let index = 0; index < count; index++) {
        const failure = await attack.run(seedOf(SEED, index));
        if (failure !== undefined)
          failures.push(`npm run attack -- --seed ${SEED} --only ${name} --case ${index}\n    ${failure}`);
      }
      attack.close?.();
      assert.equal(failures.slice(0, 5).join('\n'), '', `${failures.length} of ${count} cases`);
    }).timeout(60_000);
  }
});
