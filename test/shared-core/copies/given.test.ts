import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { setOptions } from '../../../shared-core/src/actions/setOptions.js';
import { say } from '../../../shared-core/src/base/index.js';
import { SETTINGS, settings, withBytes } from '../../support/copies.js';
import { loaded, SOUND } from '../../support/loaded.js';

describe('a profile that is given in place of the own one and knows of no copies', () => {
  it('writes nothing that leaves the copies of the own profile different', () => {
    const own = settings();
    const { copies: _, ...without } = SETTINGS;
    const given = withBytes(own, { ...without, totals: [] }, {});
    const result = setOptions({ ...loaded(given, SOUND), own }, [{ id: 'speed', to: { raw: 7n } }]);
    assert.ok(!result.ok);
    assert.match(
      say(result.why),
      /^By the profile that the dump names itself: Address 001[45] is a copy \("settings"\)/,
    );
  });
});
