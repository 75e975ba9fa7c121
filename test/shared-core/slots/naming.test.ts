import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { addOption, whyNotAdded } from '../../../shared-core/src/learn/addOption.js';
import { fieldsToName, namedByHand } from '../../../shared-core/src/learn/placeToName.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';
import { editedProfile } from '../../../shared-core/src/profile/profileText.js';
import { RECORD, record, slotted } from '../../support/slots.js';

/** The digits of byte 12 of the record in a row: behind the colon, length, address and type. */
const DIGITS = { start: 9 + 24, end: 9 + 26 };

describe('digits of a record that moves', () => {
  const dump = slotted([record(16), record(18), record(17)]);

  it('are named as an option of the record, whichever slot it is in', () => {
    const fields = fieldsToName(dump, 1, DIGITS);
    assert.ok(fields.ok);
    const [field] = fields.value;
    assert.ok(field);
    assert.deepEqual(field.place, { slot: 'record', offset: 12 });
    const option = { ...namedByHand(field, 'a.hex'), id: 'new', title: 'New', values: { '1': 'one' } };
    const text = JSON.stringify({ format: 1, ...RECORD });
    assert.equal(whyNotAdded(text, option), undefined);
    const { profile, problems } = readProfile(editedProfile(text, addOption(text, option)));
    assert.deepEqual(problems, []);
    assert.deepEqual(profile.options.at(-1)?.parts[0]?.place.inSlot, { slots: 'record', offset: 12 });
  });

  it('are named in the slot in force only', () => {
    const fields = fieldsToName(dump, 0, DIGITS);
    assert.ok(!fields.ok);
    assert.match(say(fields.why), /in a slot of "record" that is not in force/);
  });
});
