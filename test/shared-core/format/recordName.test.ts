import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { checkDump } from '../../../shared-core/src/checks/index.js';
import { bindText } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';
import { loaded } from '../../support/loaded.js';

const firstMessage = (file: string, text: string) => {
  const [problem] = checkDump(loaded(bindText(file, text, EMPTY_PROFILE), { kind: 'none' }, { kind: 'none' }));
  return problem && say(problem.message);
};

describe('what messages call a record', () => {
  it('of an image is its address as it is written', () => {
    assert.match(
      firstMessage('a.hex', ':01FFF00000FF\n:00000001FF\n') ?? '',
      /^Line FFF0: its sum is FF, its bytes make 10/,
    );
    assert.match(
      firstMessage('a.s19', 'S10400000100\nS9030000FC\n') ?? '',
      /^Line 0000: its sum is 00, its bytes make FA/,
    );
  });
});
