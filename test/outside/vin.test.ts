import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { checkDump } from '../../shared-core/src/checks/index.js';
import { vinCheckDigit, vinWeightedSum } from '../../shared-core/src/checks/vin.js';
import { bindText } from '../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../shared-core/src/profile/index.js';
import { loaded } from '../support/loaded.js';
import { VINS } from './published.js';

const problems = (vin: string) =>
  checkDump(loaded(bindText('a.cfgdump', `@vin ${vin}\n`, EMPTY_PROFILE), { kind: 'none' }, { kind: 'none' })).filter(
    ({ code }) => code.startsWith('vin-'),
  );

describe('vehicle identification numbers against published values', () => {
  for (const [vin = '', sum, digit, verdict] of VINS) {
    it(`${vin}: ${verdict}`, () => {
      assert.equal(vinWeightedSum(vin), Number(sum));
      assert.equal(vinCheckDigit(vin), digit);
      const found = problems(vin);
      assert.deepEqual(
        found.map(({ code }) => code),
        verdict === 'ok' ? [] : ['vin-check-digit'],
      );
      // ISO 3779 asks for no check digit, so that this is never more than a hint.
      for (const { severity } of found) assert.equal(severity, 'information');
    });
  }

  it('characters outside the set of 49 CFR 565.13(g) are marked, with what was probably meant', () => {
    const [problem] = problems('1G4AH59H45G11834I');
    assert.deepEqual([problem?.code, problem?.start, problem?.end, problem?.meant], ['vin-characters', 21, 22, '1']);
  });
});
