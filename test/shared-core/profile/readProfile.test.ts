import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { type Phrase, readProfile, say } from '../../../shared-core/src/index.js';
import { demoFile } from '../../support/demo.js';
import { WRONG_PROFILES } from './wrongProfiles.js';

describe('the reader of profiles', () => {
  for (const [part, profiles] of Object.entries(WRONG_PROFILES)) {
    describe(`on ${part}`, () => {
      for (const [marked, words] of profiles) {
        it(marked, () => {
          const start = marked.indexOf('«');
          const end = marked.indexOf('»') - 1;
          const { problems } = readProfile(marked.replace(/[«»]/g, ''));
          assert.deepEqual(
            problems.map(({ span }) => span),
            [{ start, end }],
          );
          const code = part === 'texts that are no profile' ? 'profile-unreadable' : 'profile-invalid';
          assert.equal(problems[0]?.code, code);
          assert.match(say((problems[0] as (typeof problems)[number]).message), words);
        });
      }
    });
  }

  it('lets comments and trailing commas pass', () => {
    const { profile, problems } = readProfile('{ // which car\n "format": 1, /* of the label */ "module": "0x06F4", }');
    assert.deepEqual(problems, []);
    assert.equal(profile.module, 0x6f4);
  });

  it('takes a number as "0x…" text wherever it takes a number', () => {
    const plain = readProfile(
      '{ "format": 1, "lines": { "from": 1, "to": 16, "data": 6, "sum": 2 }, "lineSum": { "method": "add", "bits": 16 } }',
    );
    const inHex = readProfile(
      '{ "format": "0x1", "lines": { "from": "0x01", "to": "0x10", "data": "0x6", "sum": "0x2" }, "lineSum": { "method": "add", "bits": "0x10" } }',
    );
    assert.deepEqual(inHex.problems, []);
    assert.deepEqual(inHex.profile.geometry, plain.profile.geometry);
    assert.deepEqual(inHex.profile.lineSum?.spec, plain.profile.lineSum?.spec);
  });

  it('leaves a sum out where one of its parameters is wrong, and keeps the rest', () => {
    const { profile } = readProfile(
      '{ "format": 1, "title": "kept", "totals": [{ "method": "add", "bits": 12 }, { "method": "xor" }] }',
    );
    assert.equal(profile.title, 'kept');
    assert.deepEqual(
      profile.totals.map(({ spec }) => spec.method),
      ['xor'],
    );
  });

  it('locks a whole line where it cannot tell which of its bytes are locked', () => {
    const { profile } = readProfile(
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6 }, "locked": [{ "line": 2, "bytes": "3–4" }] }',
    );
    assert.deepEqual(
      profile.locked.map(({ place }) => place),
      [{ kind: 'line', line: 2, byte: 1, count: 6 }],
    );
  });

  it('lets a place balance that holds an option, where the profile lists it', () => {
    const { profile, problems } = readProfile(
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": {} }], "balance": [{ "line": 1, "byte": 1 }] }',
    );
    assert.deepEqual(problems, []);
    assert.equal(profile.balance.length, 1);
  });

  it('puts a total after those that it covers', () => {
    const total = (name: string, line: number, lines: string) =>
      `{ "name": "${name}", "method": "add", "line": ${line}, "byte": 1, "lines": "${lines}" }`;
    const totals = [total('outer', 9, '1-8'), total('inner', 8, '1-7'), total('innermost', 3, '1-2')];
    const { profile, problems } = readProfile(`{ "format": 1, "totals": [${totals.join(', ')}] }`);
    assert.deepEqual(problems, []);
    assert.deepEqual(
      profile.totals.map(({ name }) => name),
      ['innermost', 'inner', 'outer'],
    );
  });

  it('leaves out a circle of totals, and keeps one that covers it', () => {
    const total = (name: string, line: number, lines: string) =>
      `{ "name": "${name}", "method": "add", "line": ${line}, "byte": 1, "lines": "${lines}" }`;
    const totals = [total('all', 9, '1-8'), total('a', 1, '1-2'), total('b', 2, '1-2')];
    const { profile, problems } = readProfile(`{ "format": 1, "totals": [${totals.join(', ')}] }`);
    assert.equal(problems.length, 1);
    assert.deepEqual(
      profile.totals.map(({ name }) => name),
      ['all'],
    );
  });

  it('leaves out a total that covers the sum of the line it is stored in: each would have to be computed first', () => {
    const top = '"format": 1, "lines": { "from": 1, "to": 4, "data": 4, "sum": 1 }, "lineSum": { "method": "add" }';
    const read = (over: string, lines: string) =>
      readProfile(
        `{ ${top}, "totals": [{ "name": "a", "method": "add", "line": 4, "byte": 4, "over": ${over}, "lines": "${lines}" }] }`,
      );
    const { profile, problems } = read('["data", "sums"]', '1-4');
    assert.deepEqual(profile.totals, []);
    assert.match(say(problems[0]?.message as Phrase), /covers the sum of the line in which it is stored/);
    for (const sound of [read('["data"]', '1-4'), read('["data", "sums"]', '1-3')]) {
      assert.deepEqual([sound.problems.length, sound.profile.totals.length], [0, 1]);
    }
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
