import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';
import { RECORD } from '../../support/slots.js';

const [SLOTS] = RECORD.slots;
const [FOG, ...OTHERS] = RECORD.options;

const complaints = (changed: object) =>
  readProfile(JSON.stringify({ format: 1, ...RECORD, ...changed })).problems.map(({ message }) => say(message));

const withSlots = (changed: object) => complaints({ slots: [{ ...SLOTS, ...changed }] });
const withFog = (changed: object) => complaints({ options: [{ ...FOG, ...changed }, ...OTHERS] });

describe('the profile of a record that moves', () => {
  it('has no problem where all of it is said', () => {
    assert.deepEqual(complaints({}), []);
  });

  const { name: _, ...nameless } = SLOTS ?? {};
  const { sequence: __, ...numberless } = SLOTS ?? {};
  const { check: ___, ...checkless } = SLOTS ?? {};
  const lines = {
    addresses: undefined,
    lines: { from: 1, to: 9, data: 4 },
    totals: [],
    options: [],
    locked: [],
    volatile: [],
  };
  const inLines = {
    name: 'record',
    lines: ['1-2', '3-4'],
    sequence: { offset: 0 },
    check: { method: 'xor', bits: 8, offset: 7 },
  };
  const rest = { options: [], locked: [], volatile: [] };
  const cases: readonly (readonly [string, readonly string[], RegExp])[] = [
    ['no name', complaints({ slots: [nameless], ...rest }), /^Give these slots a "name"/],
    ['no number', complaints({ slots: [numberless] }), /^"sequence" is missing/],
    ['no check', complaints({ slots: [checkless] }), /^"check" is missing/],
    [
      'one name twice',
      complaints({
        slots: [SLOTS, { ...SLOTS, at: ['0x31', '0x35'], length: 4, check: { method: 'xor', bits: 8, offset: 3 } }],
      }),
      /^"record" is given twice/,
    ],
    ['one slot', withSlots({ at: ['0x00'] }), /two slots or more/],
    ['no length', withSlots({ length: undefined }), /^"length" is missing/],
    ['no places', withSlots({ at: undefined }), /^Say where the slots are/],
    ['a slot off the image', withSlots({ at: ['0x00', '0x38'] }), /run off the image/],
    ['slots that share bytes', withSlots({ at: ['0x00', '0x08'] }), /share bytes with each other/],
    ['a number off the end', withSlots({ sequence: { offset: 15, bytes: 2 } }), /off its end/],
    ['a number that is too wide', withSlots({ sequence: { offset: 0, bytes: 5 } }), /from 1 to 4/],
    ['a check off the end', withSlots({ check: { ...SLOTS?.check, offset: 15 } }), /off its end/],
    ['a check over the number', withSlots({ check: { ...SLOTS?.check, offset: 1 } }), /share bytes/],
    ['a check without a method', withSlots({ check: { offset: 14 } }), /^"method" is missing/],
    ['an unknown key', withSlots({ places: [] }), /^Unknown key "places"/],
    ['lines and addresses', withSlots({ lines: ['1', '2'] }), /"lines" and "at" do not go together/],
    ['addresses in a dump in lines', complaints({ ...lines, slots: [SLOTS] }), /name the lines of each slot/],
    [
      'slots of other lengths',
      complaints({ ...lines, slots: [{ ...inLines, lines: ['1-2', '3-5'] }] }),
      /other bytes than the first/,
    ],
    [
      'a check across two lines',
      complaints({ ...lines, slots: [{ ...inLines, check: { method: 'add', bits: 16, offset: 3 } }] }),
      /in one line, not across two/,
    ],
    ['an option in unknown slots', withFog({ slot: 'recrod' }), /names no "recrod"; "record" is probably meant/],
    ['an option off the end', withFog({ offset: 16 }), /has 16 bytes, from 0/],
    ['an option without an offset', withFog({ offset: undefined }), /^"slot" and "offset" go together/],
    ['an option with an address too', withFog({ address: 4 }), /"slot" and "address" do not go together/],
    [
      'an option by its address inside',
      withFog({ slot: undefined, offset: undefined, address: 4 }),
      /whose record moves/,
    ],
    ['an option in the number', withFog({ offset: 1 }), /which only the module changes/],
    ['an option in the check', withFog({ offset: 14 }), /stored/],
    [
      'a balance place by its address inside',
      complaints({ balance: [{ address: 9 }] }),
      /^This balance place is in the slots/,
    ],
    [
      'a sum stored inside',
      complaints({ totals: [{ ...RECORD.totals[0], address: 8 }] }),
      /of which only one counts at a time/,
    ],
    [
      'copies that share bytes',
      complaints({ copies: [{ place: { address: 8, length: 2 }, at: ['0x32'] }] }),
      /share bytes with the copies/,
    ],
    [
      'a lock over a part of the check',
      complaints({ locked: [{ slot: 'record', offset: 14 }] }),
      /some are locked and some are not/,
    ],
  ];
  for (const [name, found, why] of cases) {
    it(`has one problem for ${name}`, () => {
      assert.equal(found.length, 1, found.join('\n'));
      assert.match(found[0] ?? '', why);
    });
  }
});
