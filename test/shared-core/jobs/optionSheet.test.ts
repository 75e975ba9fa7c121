// A sheet of options: what people may write anew in a spreadsheet is taken, all else of the profile stays as it is, and
// whatever does not fit the profile is refused with nothing taken.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { sheetOfOptions, takeSheet } from '../../../shared-core/src/jobs/optionSheet.js';

const PROFILE = `{
  "format": 1,
  "lines": { "from": 1, "to": 2, "data": 4 },
  // kept
  "options": [
    { "id": "fog", "title": "Fog lamps", "group": "Light", "line": 1, "byte": 2, "bits": "3-0",
      "values": { "0": "no", "0x1": "yes" }, "note": "front" },
    { "id": "horn", "line": 2, "bytes": "1-2", "number": {}, "hazard": "lighting" },
  ],
}
`;
const HEAD = 'id,title,group,place,values,note';
const FOG_PLACE = '"line: 1, byte: 2, bits: ""3-0"""';
const FOG = `fog,Fog lamps,Light,${FOG_PLACE},"0 = no\n0x1 = yes",front`;
const HORN = 'horn,,,"line: 2, bytes: ""1-2"", number: {}",,';
const sheet = (...rows: readonly string[]) => `${[HEAD, ...rows].join('\n')}\n`;

const taken = (csv: string, profile = PROFILE) => {
  const result = takeSheet(profile, csv);
  assert.ok(result.ok, result.ok ? '' : say(result.why));
  return result.value;
};
const refusal = (csv: string, profile = PROFILE) => {
  const result = takeSheet(profile, csv);
  assert.ok(!result.ok, 'was taken');
  return say(result.why);
};

describe('a sheet of options', () => {
  it('has a row for each option with its place, and what is no part of the place only where a person may change it', () => {
    assert.equal(sheetOfOptions(PROFILE).replace(/\r\n/g, '\n'), sheet(FOG, HORN));
    assert.equal(sheetOfOptions('{ "format": 1 }').trim(), HEAD);
  });

  it('has nothing of who saw an option in which car, of its conditions, nor of what it is taken for', () => {
    const more = {
      ...{ hazard: 'lighting', confidence: 'likely', evidence: 'a note', personal: true },
      ...{ needs: [{ option: 'horn', value: 'yes' }], excludes: [{ option: 'siren', value: 'yes' }] },
      seen: [{ how: 'set-and-tried', by: 'Jo Example', vin: '0DEM0T4X5TA020418' }],
    };
    const option = { id: 'fog', ...more, line: 1, byte: 2 };
    const csv = sheetOfOptions(JSON.stringify({ format: 1, options: [option] })).replace(/\r\n/g, '\n');
    assert.equal(csv, sheet('fog,,,"line: 1, byte: 2",,'));
  });

  it('as it was exported changes nothing, also without some of its rows and with its columns in another order', () => {
    for (const csv of [sheetOfOptions(PROFILE), sheet(HORN), sheet(), 'NOTE ,place,id,values,group,title\n'])
      assert.deepEqual(taken(csv), { text: PROFILE, changed: [], changesWords: false });
  });

  it('has a line for each text of a note that is a list, which stays one; a word with line breaks is in one line', () => {
    const listed = PROFILE.replace('"front"', '["front", "by hand"]').replace('"yes"', '"yes,\\nboth"');
    const csv = sheetOfOptions(listed).replace(/\r\n/g, '\n');
    assert.equal(csv, sheet(FOG.replace(',front', ',"front\nby hand"').replace('= yes', '= yes, both'), HORN));
    assert.deepEqual(taken(csv, listed), { text: listed, changed: [], changesWords: false });
    const more = taken(csv.replace('by hand', 'by hand\ntwice'), listed);
    assert.equal(more.text, listed.replace('["front", "by hand"]', '["front","by hand","twice"]'));
  });

  it('gives titles, groups, notes and words, and no other character of the profile changes', () => {
    const changed = taken(sheet(FOG.replace('Fog lamps', '"Fog ""front"""').replace('= yes', '=  on'), HORN));
    assert.deepEqual(changed, {
      text: PROFILE.replace('"Fog lamps"', '"Fog \\"front\\""').replace('"yes"', '" on"'),
      changed: ['fog'],
      changesWords: true,
    });
    const noted = taken(sheet(FOG, HORN.replace('horn,,', 'horn,Horn,Sound').replace(/,$/, ',"two\r\nlines"')));
    assert.deepEqual(noted, {
      text: PROFILE.replace('"horn"', '"horn", "title": "Horn", "group": "Sound", "note": "two\\nlines"'),
      changed: ['horn'],
      changesWords: false,
    });
  });

  it('takes out what is emptied', () => {
    const { text } = taken(sheet(FOG.replace(',Light,', ',,').replace('front', '')));
    assert.equal(text, PROFILE.replace(' "group": "Light",', '').replace(', "note": "front"', ''));
  });

  const REFUSED: readonly (readonly [why: string, csv: string, says: RegExp])[] = [
    ['a column is missing', sheet(FOG).replace(',note', ''), /^The sheet has no column "note"/],
    ['a column is there twice', sheet(FOG).replace(',note', ',note,Note'), /^The sheet has the column "note" twice/],
    ['an option is unknown', sheet(FOG.replace('fog', 'fob')), /^The sheet names "fob", which is no option/],
    ['an option is there twice', sheet(FOG, HORN, FOG), /^The sheet has the option "fog" twice/],
    [
      'an option is at another place',
      sheet(FOG.replace('byte: 2', 'byte: 3')),
      /^The option "fog" is at line: 1, byte: 2, bits: "3-0" in the profile, and at line: 1, byte: 3/,
    ],
    ['a value is unknown', sheet(FOG.replace('0x1 =', '0x2 =')), /^The option "fog" has no value 0x2 in the profile/],
    ['a value is missing', sheet(FOG.replace('\n0x1 = yes', '')), /^The value 0x1 of the option "fog" is missing/],
    ['a value is there twice', sheet(FOG.replace('0x1 =', '0 =')), /^The option "fog" has the value 0 twice/],
    ['a value has no word', sheet(FOG.replace('0x1 = yes', '0x1 yes')), /^The option "fog": "0x1 yes" is no value/],
    ['words are given to a number', sheet(HORN.replace(/,,$/, ',0 = no,')), /^The option "horn" has no value 0/],
    [
      'two values would have one word',
      sheet(FOG.replace('= yes', '= no')),
      /^The profile would have a problem afterwards: /,
    ],
  ];
  for (const [why, csv, says] of REFUSED) it(`is refused where ${why}`, () => assert.match(refusal(csv), says));

  it('is refused for a profile that has a problem already', () => {
    assert.match(
      refusal(sheet(FOG), PROFILE.replace('"hazard"', '"hazzard"')),
      /^The profile has a problem, which comes first: /,
    );
  });
});
