import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { readProfile, say } from '../../../shared-core/src/index.js';
import { demoFile } from '../../support/demo.js';

/** Profiles with the wrong place between « and », and what is said of it. */
const WRONG: readonly (readonly [string, RegExp])[] = [
  ['{ "format": «2» }', /"format" is 1/],
  ['{ "format": 1, «"lockd"»: [] }', /"locked" is probably meant/],
  ['{ "format": 1, "module": «70000» }', /from 0 to 65535/],
  ['{ "format": 1, "lines": { "from": 5, "to": «4», "data": 6 } }', /"to" is lower than "from"/],
  ['{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6 }, "locked": [{ "line": «3», "byte": 1 }] }', /no line 3/],
  [
    '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6 }, "locked": [{ "line": 1, "bytes": «"5-7"» }] }',
    /no byte 7/,
  ],
  [
    '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "lineSum": «{ "method": "add", "bits": 16 }» }',
    /2 bytes; "lines" gives 1/,
  ],
  [
    '{ "format": 1, "totals": [{ "method": "crc", "model": «"CRC-16/IBM-374"» }] }',
    /"CRC-16\/IBM-3740" is probably meant/,
  ],
  ['{ "format": 1, "totals": [{ "method": «"sum"» }] }', /"add"/],
  [
    '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "bits": "1-0", "values": { «"4"»: "x" } }] }',
    /0 to 3/,
  ],
  [
    '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": {} }, «{ "id": "b", "line": 1, "byte": 1, "bits": "3", "values": {} }»] }',
    /same bits/,
  ],
  [
    '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": {} }, «{ "id": "a", "line": 1, "byte": 2, "values": {} }»] }',
    /Two options/,
  ],
  [
    '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": {}, "needs": [«{ "option": "a", "in": [1] }»] }] }',
    /condition of itself/,
  ],
  [
    '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": {}, "needs": [«{ "option": "c", "in": [1] }»] }] }',
    /No option .* "c"/,
  ],
  ['{ "format": 1, "locked": [{ "line": 1, "byte": 1 }], "balance": [«{ "line": 1, "byte": 1 }»] }', /is locked/],
];

describe('the reader of profiles', () => {
  for (const [marked, words] of WRONG) {
    it(marked, () => {
      const start = marked.indexOf('«');
      const end = marked.indexOf('»') - 1;
      const { problems } = readProfile(marked.replace(/[«»]/g, ''));
      assert.deepEqual(
        problems.map(({ span }) => span),
        [{ start, end }],
      );
      assert.match(say((problems[0] as (typeof problems)[number]).message), words);
    });
  }

  it('two totals that cover each other are a circle', () => {
    const total = (line: number) => `{ "method": "add", "line": ${line}, "byte": 1 }`;
    const { profile, problems } = readProfile(
      `{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6 }, "totals": [${total(1)}, ${total(2)}] }`,
    );
    assert.equal(problems.length, 2);
    assert.match(say((problems[0] as (typeof problems)[number]).message), /circle/);
    assert.deepEqual(profile.totals, []);
  });

  it('finds nothing wrong with the profiles of the demo, and keeps every option', () => {
    for (const [name, options] of [
      ['rear-body', 7],
      ['cluster', 3],
    ] as const) {
      const { profile, problems } = readProfile(demoFile(`${name}.dump-profile.json`));
      assert.deepEqual(problems, []);
      assert.equal(profile.options.length, options);
    }
  });
});
