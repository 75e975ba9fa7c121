import assert from 'node:assert/strict';
import { parse } from 'jsonc-parser';
import { describe, it } from 'mocha';
import { hexBytes } from '../../../shared-core/src/base/hex.js';
import { say } from '../../../shared-core/src/base/phrase.js';
import { addOption, type DraftOption, optionOf, whyNotAdded } from '../../../shared-core/src/learn/addOption.js';
import { comparedDump } from '../../../shared-core/src/learn/findOption/comparedDump.js';
import { findOption } from '../../../shared-core/src/learn/findOption/findOption.js';
import { candidateInWords } from '../../../shared-core/src/learn/findOption/searchInWords.js';
import { bindText } from '../../../shared-core/src/model/dump.js';
import { editedProfile } from '../../../shared-core/src/profile/profileText.js';
import { readProfile } from '../../../shared-core/src/profile/readProfile.js';
import { comparedIn } from './dumps.js';

const OPTION: DraftOption = {
  id: 'tow',
  title: 'Tow bar',
  line: 1,
  byte: 2,
  bits: '5',
  values: { '0': 'no', '1': 'yes' },
  confidence: 'likely',
  evidence: '8 with, 8 without.',
};

const PROFILE = `{
    // measured in March
    "format": 1,
    "lines": { "from": 1, "to": 2, "data": 4, "sum": 0 },
    "options": [
        { "id": "first", "line": 2, "byte": 1, "values": { "0": "off" } } /* sure */
    ],
    "volatile": [{ "line": 2, "byte": 4 }]
}
`;

const added = (text: string, option = OPTION) => editedProfile(text, addOption(text, option));

describe('write a found option into the profile', () => {
  it('keeps every other character: comments, order, indentation', () => {
    const text = added(PROFILE);
    const { profile, problems } = readProfile(text);
    assert.deepEqual(problems, []);
    assert.deepEqual(
      profile.options.map(({ id }) => id),
      ['first', 'tow'],
    );
    const cut = text.indexOf('\n        {\n            "id": "tow"');
    const end = text.indexOf('\n        }\n', cut) + 10;
    assert.equal((text.slice(0, cut) + text.slice(end)).replace('}, /* sure */', '} /* sure */'), PROFILE);
  });

  it('makes the list where the profile has none', () => {
    const text = added('{ "format": 1, "lines": { "from": 1, "to": 1, "data": 4 } }\n');
    const { profile, problems } = readProfile(text);
    assert.deepEqual([problems, profile.options[0]?.id], [[], 'tow']);
  });

  it('knows a comma that is there already from one in a comment', () => {
    for (const list of [
      '[{ "id": "a" }, /* , */ ]',
      '[{ "id": "a" } /* , */ ]',
      '[{ "id": "a" } // ,\n]',
      '[]',
      '[ ]',
      '[ // none\n]',
    ]) {
      const text = added(`{ "format": 1, "options": ${list}, "totals": [] }`);
      const ids = (parse(text, [], { allowTrailingComma: true }) as { options: { id: string }[] }).options.map(
        ({ id }) => id,
      );
      assert.deepEqual(ids, list.includes('"a"') ? ['a', 'tow'] : ['tow'], text);
      assert.deepEqual(
        readProfile(text).problems.filter(({ code }) => code === 'profile-unreadable'),
        [],
      );
    }
  });

  it('puts an option in the place of the one that has its id', () => {
    const text = added(PROFILE, { ...OPTION, id: 'first' });
    const { profile, problems } = readProfile(text);
    assert.deepEqual([problems, profile.options.length, profile.options[0]?.title], [[], 1, 'Tow bar']);
  });

  it('never takes the place of what a person wrote or completed', () => {
    const found = { ...OPTION, id: 'tow', evidence: '8 with (a), 8 without (b); p = 0.0014, q = 0.02 over 30 places.' };
    const why = (option: object) => {
      const text = JSON.stringify({ format: 1, options: [option] });
      const refused = whyNotAdded(text, found);
      return refused && say(refused);
    };
    assert.equal(why(found), undefined);
    for (const byHand of [
      { ...found, hazard: 'security' },
      { ...found, needs: [] },
      { ...found, evidence: 'told by a colleague' },
      { ...found, evidence: undefined },
      { ...found, seen: [{ how: 'found-by-search' }, { how: 'set-and-tried', date: '2024-02-29' }] },
      { ...found, confidence: 'confirmed' },
      { id: 'tow', line: 1, byte: 1, values: { 0: 'no' }, hazard: 'security', confidence: 'guess' },
    ])
      assert.match(why(byHand) ?? '', /which a person wrote or completed/, JSON.stringify(byHand));
  });

  for (const [key, says] of [
    ['locked', 'These digits are locked (kept), so they can be no option.'],
    ['volatile', 'These digits change by themselves in the module (kept), so they can be no option.'],
  ] as const)
    it(`adds nothing that could never be set: a ${key} place`, () => {
      const text = (bytes: string) =>
        JSON.stringify({
          format: 1,
          lines: { from: 1, to: 2, data: 4, sum: 0 },
          [key]: [{ line: 1, bytes, why: 'kept' }],
        });
      const refused = (bytes: string) => {
        const why = whyNotAdded(text(bytes), OPTION);
        return why && say(why);
      };
      assert.deepEqual([refused('1-2'), refused('3-4')], [says, undefined]);
    });

  it('keeps tabs and CRLF', () => {
    const text = added('{\r\n\t"format": 1,\r\n\t"options": []\r\n}\r\n');
    assert.ok(!/[^\r]\n/.test(text));
    assert.match(text, /\r\n\t\t\{\r\n\t\t\t"id"/);
  });

  it('does nothing to what is no profile', () => {
    assert.deepEqual(addOption('[]', OPTION), []);
    assert.deepEqual(addOption('', OPTION), []);
  });

  it('words a candidate as an option, with its evidence', () => {
    const dumps = Array.from({ length: 16 }, (_, i) => ({
      name: `car ${i + 1}`,
      group: i % 2,
      dump: comparedIn(`@vin DEM0${i}\n1: 00 ${i % 2 === 0 && i !== 4 ? 20 : '00'} 00 00\n`, {
        format: 1,
        lines: { from: 1, to: 1, data: 4, sum: 0 },
      }),
    }));
    const search = findOption(dumps, ['with', 'without']);
    const [candidate] = search.candidates;
    assert.ok(candidate);
    const option = optionOf(search, candidate, { id: 'tow', title: 'Tow bar', words: ['yes', 'no'] });
    assert.deepEqual(option, {
      ...OPTION,
      evidence:
        '8 with (car 1, car 3, car 5 …), 8 without (car 2, car 4, car 6 …); could be chance: 1 in 710 (p = 0.0014, q = 0.0014 over 1 patterns). Not as labelled: car 5.',
      seen: [{ how: 'found-by-search' }],
    });
    assert.deepEqual(readProfile(added(PROFILE, option)).problems, []);
    // It is known as found by a search, with the evidence of an older version too.
    const text = added('{ "format": 1, "options": [] }', option);
    assert.equal(whyNotAdded(text, option), undefined);
    const older = { ...option, evidence: option.evidence.replace(/could be[^(]*\(([^)]*)patterns\)/, '$1places') };
    assert.match(older.evidence, /; p = 0\.0014, q = 0\.0014 over 1 places\./);
    assert.equal(whyNotAdded(added('{ "format": 1, "options": [] }', older), option), undefined);
  });

  it('was seen in the dumps of the groups, on the day of the last of these', () => {
    const read = (name: string, bytes: string, header: string, group: number | undefined) => ({
      name,
      group,
      dump: comparedIn(`${header}\n1: ${bytes}\n`, { format: 1, lines: { from: 1, to: 1, data: 2, sum: 0 } }),
    });
    const search = findOption(
      [
        read('with', '01 00', '@part A-1\n@taken 2024-02-01', 0),
        read('without', '00 00', '@part A-1\n@taken 2024-02-02', 1),
        read('asked', '01 01', '@part A-2\n@taken 2024-02-03', undefined),
      ],
      ['with', 'without'],
    );
    const [candidate] = search.candidates;
    assert.ok(candidate);
    const { seen } = optionOf(search, candidate, { id: 'tow', title: 'Tow bar', words: ['yes', 'no'] });
    assert.deepEqual(seen, [{ part: 'A-1', date: '2024-02-02', how: 'found-by-search' }]);
  });

  it('offers the whole digit where nothing else of it changes in any dump, and only then', () => {
    const found = (digits: (i: number) => string) => {
      const dumps = Array.from({ length: 16 }, (_, i) => ({
        name: `car ${i + 1}`,
        group: i === 15 ? undefined : i % 2,
        dump: comparedIn(`@vin DEM0${i}\n1: 00 ${digits(i)} 00 00\n`, {
          format: 1,
          lines: { from: 1, to: 1, data: 4, sum: 0 },
        }),
      }));
      const search = findOption(dumps, ['with', 'without']);
      const candidate = search.candidates[0];
      assert.ok(candidate);
      return { search, candidate };
    };
    const { search, candidate } = found((i) => (i % 2 === 0 ? '4A' : '48'));
    assert.deepEqual(
      [candidate.place.bits, candidate.digit?.place.bits],
      [
        { high: 1, low: 1 },
        { high: 3, low: 0 },
      ],
    );
    assert.deepEqual(candidate.digit?.values, [[0xa], [0x8]]);
    assert.match(
      say(candidateInWords(search, candidate)),
      /; or the whole digit, line 1, byte 2, bits 3-0: with: A, without: 8/,
    );
    assert.ok(candidate.digit);
    const option = optionOf(search, { ...candidate, ...candidate.digit }, { id: 'x', title: '', words: ['yes', 'no'] });
    assert.deepEqual([option.bits, option.values], ['3-0', { 8: 'no', 10: 'yes' }]);
    // Another bit of it changes, in a dump that says of no equipment too; the bits are in both digits; they are the digit.
    for (const digits of [
      (i: number) => (i === 15 ? '49' : i % 2 === 0 ? '4A' : '48'),
      (i: number) => (i % 2 === 0 ? '18' : '00'),
      (i: number) => (i % 2 === 0 ? '49' : '40'),
    ])
      assert.equal(found(digits).candidate.digit, undefined);
  });

  it('of memory images: the place is an address', () => {
    const record = (address: number, bytes: readonly number[]) => {
      const body = [bytes.length, address >> 8, address & 0xff, 0, ...bytes];
      return `:${hexBytes([...body, -body.reduce((sum, byte) => sum + byte, 0) & 0xff])}\n`;
    };
    const image = (fitted: boolean, noise: number) => `${record(0x120, [noise, fitted ? 0x08 : 0, 7])}:00000001FF\n`;
    const profile = readProfile(
      '{ "format": 1, "notation": "intel-hex", "addresses": { "from": "0x120", "to": "0x122" } }',
    ).profile;
    const dumps = Array.from({ length: 16 }, (_, i) => ({
      name: `car ${i}`,
      group: i % 2,
      dump: comparedDump(bindText('a.hex', image(i % 2 === 0, i >> 1), profile)),
    }));
    const search = findOption(dumps, ['with', 'without']);
    const [candidate] = search.candidates;
    assert.ok(candidate);
    const option = optionOf(search, candidate, { id: 'tow', title: 'Tow bar', words: ['yes', 'no'] });
    assert.deepEqual([option.address, option.bits, option.line], ['0x0121', '3', undefined]);
    const text = added(
      '{ "format": 1, "notation": "intel-hex", "addresses": { "from": "0x120", "to": "0x122" } }',
      option,
    );
    assert.deepEqual(readProfile(text).problems, []);
  });
});
