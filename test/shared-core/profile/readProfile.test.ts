import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { type Phrase, say } from '../../../shared-core/src/base/index.js';
import { writtenRanges } from '../../../shared-core/src/profile/dataRanges.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';
import { joinedRanges, rangeInHex } from '../../../shared-core/src/profile/places.js';
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

  it('allows comments, trailing commas and a byte-order mark', () => {
    const { profile, problems } = readProfile(
      '\ufeff{ // which car\n "format": 1, /* of the label */ "module": "0x06F4", }',
    );
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

  it('keeps totals that cover each other, one after the other, and puts one that covers them behind them', () => {
    const total = (name: string, line: number, lines: string) =>
      `{ "name": "${name}", "method": "add", "line": ${line}, "byte": 1, "lines": "${lines}" }`;
    const totals = [total('all', 9, '1-8'), total('a', 1, '1-2'), total('b', 2, '1-2'), total('first', 8, '3-4')];
    const { profile, problems } = readProfile(`{ "format": 1, "totals": [${totals.join(', ')}] }`);
    assert.deepEqual(problems, []);
    assert.deepEqual(
      profile.totals.map(({ name }) => name),
      ['a', 'b', 'first', 'all'],
    );
  });

  it('keeps a total that covers the sum of the line it is stored in', () => {
    const { profile, problems } = readProfile(
      '{ "format": 1, "lines": { "from": 1, "to": 4, "data": 4, "sum": 1 }, "lineSum": { "method": "add" }, "totals": [{ "method": "add", "line": 4, "byte": 4, "over": ["data", "sums"] }] }',
    );
    assert.deepEqual([problems.length, profile.totals.length], [0, 1]);
  });

  it('keeps a total that is stored wholly in locked bytes, also of several places', () => {
    const { profile, problems } = readProfile(
      '{ "format": 1, "locked": [{ "line": 1, "byte": 3 }, { "line": 1, "byte": 4 }], "totals": [{ "method": "add", "bits": 16, "line": 1, "byte": 3 }] }',
    );
    assert.deepEqual([problems.length, profile.totals.length], [0, 1]);
  });

  it('takes what is usual where the profile does not say', () => {
    const { profile, problems } = readProfile(
      '{ "format": 1, "lines": { "from": 1, "to": 4, "data": 4, "sum": 1 }, "lineSum": { "method": "add", "over": ["label", "data"] }, "totals": [{ "method": "fletcher" }] }',
    );
    assert.deepEqual(problems, []);
    const [total] = profile.totals;
    assert.deepEqual(profile.lineSum?.spec, {
      method: 'add',
      bits: 8,
      unit: 1,
      complement: 'none',
      start: 0n,
      order: 'big',
    });
    assert.deepEqual([profile.lineSum?.labelBytes, profile.lineSum?.order], [1, 'big']);
    assert.deepEqual(
      [total?.name, total?.keep, total?.stored],
      ['file sum', false, { kind: 'record', label: 'total' }],
    );
    assert.deepEqual(
      [total?.spec, total?.covers],
      [
        { method: 'fletcher', bits: 16, order: 'big' },
        { kind: 'all-lines', sums: false },
      ],
    );
  });

  it('turns the register of a CRC as its bytes are, where the profile does not say', () => {
    const crc = (more: string) =>
      readProfile(`{ "format": 1, "totals": [{ "method": "crc", "width": 8, "poly": 7${more} }] }`).profile.totals[0]
        ?.spec;
    const plain = { method: 'crc', model: undefined, width: 8, poly: 7n, init: 0n, xorout: 0n };
    assert.deepEqual(crc(''), { ...plain, refin: false, refout: false });
    assert.deepEqual(crc(', "refin": true'), { ...plain, refin: true, refout: true });
    assert.deepEqual(crc(', "refin": true, "refout": false'), { ...plain, refin: true, refout: false });
  });

  it('reads what it can beside what is wrong', () => {
    const { profile } = readProfile(
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6 }, "locked": [{ "address": 5 }, { "line": 1, "byte": 1 }], "options": [{ "id": "a", "line": 2, "byte": 1, "values": {}, "hazard": ["lightning", "braking"] }] }',
    );
    assert.equal(profile.flaw?.count, 2);
    assert.deepEqual(
      profile.locked.map(({ place }) => place.kind),
      ['line'],
    );
    assert.deepEqual(profile.options[0]?.hazards, ['braking']);
  });

  it('lets places touch addresses that may be missing, or be wholly among them', () => {
    const { problems } = readProfile(
      '{ "format": 1, "addresses": { "from": 0, "to": 99 }, "absent": [{ "from": 20, "to": 29 }], "locked": [{ "from": 10, "to": 19 }, { "from": 20, "to": 29 }, { "address": 25 }, { "address": 30 }] }',
    );
    assert.deepEqual(problems, []);
  });

  it('says which modules the profile is for', () => {
    const read = (appliesTo: string) => readProfile(`{ "format": 1, "appliesTo": ${appliesTo} }`).profile.appliesTo;
    assert.deepEqual(read('{ "part": ["RB-20??-*", "RC"] }'), { part: ['RB-20??-*', 'RC'], software: [] });
    assert.deepEqual(read('{ "software": ["03*"] }'), { part: [], software: ['03*'] });
    assert.equal(readProfile('{ "format": 1 }').profile.appliesTo, undefined);
  });

  it('takes a place by address in each of its forms', () => {
    const { profile, problems } = readProfile(
      '{ "format": 1, "addresses": { "from": 0, "to": 99 }, "locked": [{ "address": 5 }, { "address": 5, "bytes": 3 }, { "address": 5, "length": "0x3" }, { "from": 5, "to": 7 }], "absent": [{ "from": 20, "to": 29 }, { "address": 40, "length": 2 }] }',
    );
    assert.deepEqual(problems, []);
    assert.deepEqual(
      profile.locked.map(({ place }) => place),
      [1, 3, 3, 3].map((count) => ({ kind: 'address', address: 5, count })),
    );
    assert.deepEqual(profile.absent, [
      { from: 20, to: 29 },
      { from: 40, to: 41 },
    ]);
  });

  it('takes a line without bytes as a whole, where bytes are balanced, locked or volatile', () => {
    const { profile, problems } = readProfile(
      '{ "format": 1, "lines": { "from": 1, "to": 3, "data": { "1": 4, "2": 5, "3": 6 } }, "balance": [{ "line": 1, "byte": 3 }, { "line": 1 }], "locked": [{ "line": 2 }], "volatile": [{ "line": 3 }] }',
    );
    assert.deepEqual(problems, []);
    assert.deepEqual(
      [...profile.balance, ...profile.locked, ...profile.volatile].map(({ place }) => place.count),
      [1, 4, 5, 6],
    );
  });

  it('takes lines of any number up to a million, in one stretch or several', () => {
    const count = (lines: unknown) => {
      const { profile, problems } = readProfile(JSON.stringify({ format: 1, lines }));
      assert.deepEqual(problems, []);
      return profile.geometry?.kind === 'lines' ? profile.geometry.count : undefined;
    };
    assert.equal(count({ from: 1, to: 1_000_000, data: 1 }), 1_000_000);
    assert.equal(
      count([
        { from: 1, to: 500_000, data: 1 },
        { from: 500_001, to: 1_000_000, data: 1 },
      ]),
      1_000_000,
    );
    assert.equal(count({ from: 5, to: 5, data: 1 }), 1);
    assert.equal(count({ from: 3, to: 9, step: 3, data: { 3: 1, 6: 2, 9: 3 } }), 3);
  });

  it('takes a range of one address, and notations with all that may be said of them', () => {
    const { profile, problems } = readProfile('{ "format": 1, "addresses": { "from": 5, "to": 5 } }');
    assert.deepEqual([profile.geometry, problems], [{ kind: 'addresses', from: 5, to: 5 }, []]);
    for (const otherwise of ['keep', 'report'])
      assert.deepEqual(
        readProfile(
          JSON.stringify({
            format: 1,
            notation: { pattern: '{label}: {data}', otherwise, headings: ['Block {skip}', 'End'] },
          }),
        ).problems,
        [],
      );
  });

  it('has no sums where the lines or addresses that they would run over are unclear', () => {
    for (const text of [
      '{ "format": 1, "lines": { "from": 1, "to": 4 }, "lineSum": { "method": "add" }, "totals": [{ "method": "add" }] }',
      '{ "format": 1, "addresses": { "from": 5, "to": 4 }, "totals": [{ "method": "add", "address": 9, "over": [{ "from": 0, "to": 3 }] }] }',
      '{ "format": 1, "lines": [{ "from": 1, "to": 4, "data": 1 }, { "from": 4, "to": 5, "data": 1 }], "totals": [{ "method": "add" }] }',
      '{ "format": 1, "lines": [{ "from": 1, "to": 600000, "data": 1 }, { "from": 600001, "to": 1200000, "data": 1 }], "totals": [{ "method": "add" }] }',
    ]) {
      const { geometry, lineSum, totals } = readProfile(text).profile;
      assert.deepEqual([geometry, lineSum, totals], [undefined, undefined, []], text);
    }
    const module = readProfile(
      '{ "format": 1, "module": "x", "lines": { "from": 1, "to": 4, "data": 1, "sum": 1 }, "lineSum": { "method": "add", "over": ["module", "data"] } }',
    );
    assert.deepEqual([module.profile.lineSum, module.problems.length], [undefined, 1]);
  });

  it('takes all parts that a line sum may cover, and says where it is', () => {
    const read = (lineSum: object, more: object = {}) => {
      const { profile, problems } = readProfile(
        JSON.stringify({
          format: 1,
          module: 1,
          lines: { from: '1-2-3-4', to: '1-2-3-9', data: 4, sum: 1 },
          lineSum: { method: 'add', bits: 8, ...lineSum },
          ...more,
        }),
      );
      assert.deepEqual(problems, []);
      assert.ok(profile.lineSum);
      return profile.lineSum;
    };
    const over = ['module', 'label.1', 'label.2', 'label.3', 'label.4', 'length', 'data'];
    assert.deepEqual(read({ over }).over, over);
    assert.equal(read({ over: ['label', 'data'], labelBytes: 2 }).labelBytes, 2);
    assert.equal(read({ over: ['label.4', 'data'] }).labelBytes, 1);
    assert.deepEqual(
      [read({}).front, read({ sumAt: 'back' }).front, read({ sumAt: 'front' }).front],
      [false, false, true],
    );
  });

  it('takes a number with a scale, a sign and ends, and what is usual where it does not say', () => {
    const meaning = (number: object) => {
      const option = { id: 'a', line: 1, bytes: '1-6', number };
      const { profile, problems } = readProfile(JSON.stringify({ format: 1, options: [option] }));
      assert.deepEqual(problems, []);
      return profile.options[0]?.meaning;
    };
    assert.deepEqual(meaning({}), {
      kind: 'number',
      coding: 'binary',
      scale: 1,
      offset: 0,
      unit: '',
      min: undefined,
      max: undefined,
      signed: false,
    });
    const all = { scale: 0.5, offset: -40, unit: 'km', min: 3, max: 3, signed: true };
    assert.deepEqual(meaning(all), { kind: 'number', coding: 'binary', ...all });
  });

  it('takes every hazard, each once', () => {
    const hazards =
      'braking steering restraints lighting emissions security driver-assistance high-voltage other'.split(' ');
    const { profile, problems } = readProfile(
      JSON.stringify({ format: 1, options: [{ id: 'a', line: 1, byte: 1, values: {}, hazard: hazards }] }),
    );
    assert.deepEqual([profile.options[0]?.hazards, problems], [hazards, []]);
  });

  it('takes totals that are stored one beside the other, and cover what others are stored in', () => {
    const total = (name: string, address: number, from: number, to: number) => ({
      name,
      method: 'add',
      bits: 16,
      address,
      over: [{ from, to }],
    });
    const names = (...totals: readonly object[]) => {
      const { profile, problems } = readProfile(JSON.stringify({ format: 1, totals }));
      assert.deepEqual(problems, []);
      return profile.totals.map(({ name }) => name);
    };
    assert.deepEqual(names(total('a', 8, 0, 7), total('b', 10, 0, 7)), ['a', 'b']);
    // The last covers only the second byte of the first, or the first of the second.
    assert.deepEqual(names(total('outer', 20, 9, 9), total('inner', 8, 0, 7)), ['inner', 'outer']);
    assert.deepEqual(names(total('outer', 20, 7, 8), total('inner', 8, 0, 7)), ['inner', 'outer']);
    assert.deepEqual(names(total('outer', 20, 10, 19), total('inner', 8, 0, 7)), ['outer', 'inner']);
    assert.deepEqual(names(total('outer', 20, 6, 7), total('inner', 8, 0, 5)), ['outer', 'inner']);
    const two = {
      ...total('outer', 30, 0, 1),
      over: [
        { from: 0, to: 1 },
        { from: 8, to: 9 },
      ],
    };
    assert.deepEqual(names(two, total('inner', 8, 2, 7)), ['inner', 'outer']);
    assert.deepEqual(names({ method: 'add', label: 'a', name: 'a' }, { method: 'xor', label: 'b', name: 'b' }), [
      'a',
      'b',
    ]);
  });

  it('takes a total that covers more than the bytes in which it is stored, wherever these are', () => {
    const over = (...ranges: readonly (readonly [from: number, to: number])[]) =>
      readProfile(
        JSON.stringify({
          format: 1,
          totals: [{ method: 'add', bits: 16, address: 8, over: ranges.map(([from, to]) => ({ from, to })) }],
        }),
      ).problems.length;
    assert.deepEqual([over([8, 9]), over([8, 8], [9, 9]), over([9, 9])], [1, 1, 1]);
    assert.deepEqual([over([8, 10]), over([7, 9]), over([8, 9], [20, 20]), over([10, 10])], [0, 0, 0, 0]);
  });

  it('takes options that are side by side, and none that share a bit, however far apart they begin', () => {
    const problems = (...options: readonly object[]) =>
      readProfile(
        JSON.stringify({ format: 1, options: options.map((one, i) => ({ id: `o${i}`, number: {}, ...one })) }),
      ).problems.length;
    assert.equal(problems({ address: 254, length: 2 }, { address: 256, length: 2 }), 0);
    assert.equal(problems({ address: 0, length: 6 }, { address: 5 }), 1);
    assert.equal(problems({ address: 252, length: 6 }, { address: 256 }), 1);
    assert.equal(problems({ address: 257 }, { address: 252, length: 6 }), 1);
    assert.equal(problems({ address: 251, length: 6 }, { address: 257 }), 0);
    assert.equal(problems({ address: 510, length: 2 }, { address: 512, length: 2 }, { address: 511, length: 2 }), 1);
  });

  it('takes a note in any map, bytes as a number or a range of one, and says why a place is locked', () => {
    const { profile, problems } = readProfile(
      JSON.stringify({
        format: 1,
        notation: 'dump-text',
        lines: { from: 1, to: 2, data: { note: 'read twice', 1: 8, 2: 2 } },
        options: [
          { id: 'a', line: 1, byte: 1, values: { note: 'tried', 0: 'no' } },
          { id: 'b', line: 1, bytes: '2-8', flags: { 0: 'left', 55: 'right' } },
        ],
        locked: [
          { line: 2, bytes: 1, why: 'identity' },
          { line: 2, bytes: '2-2' },
        ],
        totals: [{ method: 'add', bits: 16, lines: '1-2', line: 2, byte: 1 }],
      }),
    );
    assert.deepEqual(problems, []);
    assert.deepEqual(
      profile.locked.map(({ place, why }) => [place, why]),
      [
        [{ kind: 'line', line: 2, byte: 1, count: 1 }, 'identity'],
        [{ kind: 'line', line: 2, byte: 2, count: 1 }, undefined],
      ],
    );
    assert.deepEqual(
      profile.options.flatMap(({ parts }) => parts.map(({ place }) => place.count)),
      [1, 7],
    );
  });

  it('takes what does not contradict: conditions on other options or values, labels of 0, lines in steps with counts', () => {
    const tow = { id: 'tow', line: 9, byte: 1, number: {} };
    const { profile, problems } = readProfile(
      JSON.stringify({
        format: 1,
        lines: [
          { from: 1, to: 7, step: 3, data: { 1: 4, 4: 5, 7: 6 }, sum: 1 },
          { from: 9, to: 9, data: 4 },
        ],
        lineSum: { method: 'add' },
        options: [
          {
            id: 'a',
            line: 1,
            byte: 1,
            values: {},
            needs: [
              { option: 'tow', in: [1] },
              { profile: 'q.dump-profile.json', option: 'tow', in: [2] },
            ],
            excludes: [
              { option: 'tow', in: [2] },
              { option: 'fog', in: [1] },
            ],
          },
          tow,
          { ...tow, id: 'fog', byte: 2 },
        ],
        totals: [
          { method: 'crc', model: 'CRC-16/ARC', order: 'little', label: 0 },
          { method: 'add', label: 'all', over: ['data', 'sums'] },
        ],
      }),
    );
    assert.deepEqual(problems, []);
    assert.deepEqual(profile.lineSum?.over, ['data']);
    assert.deepEqual(
      profile.totals.map(({ stored }) => stored),
      [
        { kind: 'record', label: 0 },
        { kind: 'record', label: 'all' },
      ],
    );
    assert.equal(profile.notation, undefined);
  });

  it('takes a text of whole bytes, a step of one, and a sum behind the record of another', () => {
    const { profile, problems } = readProfile(
      JSON.stringify({
        format: 1,
        options: [{ id: 'a', line: 1, bytes: '1-4', text: 'ascii' }],
        totals: [
          { method: 'add', bits: 8, label: 5 },
          { method: 'add', bits: 8, line: 5, byte: 2 },
        ],
      }),
    );
    assert.deepEqual([profile.options.length, profile.totals.length, problems], [1, 2, []]);
    assert.deepEqual(
      readProfile('{ "format": 1, "lines": { "from": 1, "to": 4, "step": 1, "data": 1 } }').problems,
      [],
    );
  });

  it('takes a balance place beside an option that concerns the security, sums that are kept, and many lines in steps', () => {
    const { profile, problems } = readProfile(
      JSON.stringify({
        format: 1,
        lines: { from: 0, to: 1_999_998, step: 2, data: 2, sum: 8 },
        options: [{ id: 'key', line: 2, byte: 1, number: {}, hazard: 'security' }],
        balance: [{ line: 2, byte: 2 }],
        totals: [{ method: 'add', keep: true }],
      }),
    );
    assert.deepEqual(problems, []);
    assert.deepEqual([profile.balance.length, profile.totals[0]?.keep], [1, true]);
    assert.equal(profile.geometry?.kind === 'lines' && profile.geometry.count, 1_000_000);
    const mixed = readProfile(
      '{ "format": 1, "lines": [{ "from": 1, "to": 2, "data": 1 }, { "from": "3-1", "to": "3-2", "data": 1 }] }',
    );
    assert.deepEqual([mixed.profile.geometry, mixed.problems.length], [undefined, 1]);
  });

  it('takes no line without a byte', () => {
    const { profile, problems } = readProfile(
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": { "1": 0, "2": 1 } } }',
    );
    assert.match(say(problems[1]?.message as Phrase), /from 1 to 65535/);
    assert.equal(profile.geometry, undefined);
  });

  it('locks nothing where it cannot tell how long a line is', () => {
    const { profile, problems } = readProfile('{ "format": 1, "locked": [{ "line": 1, "bytes": "x" }] }');
    assert.deepEqual([profile.locked, problems.length], [[], 1]);
  });

  it('calls a total by the word that is written, though it looks like a number that is too large to be exact', () => {
    const { profile } = readProfile('{ "format": 1, "totals": [{ "method": "add", "label": "9007199254740993" }] }');
    assert.deepEqual(profile.totals[0]?.stored, { kind: 'record', label: '9007199254740993' });
  });

  it('says what is wrong in the order of the text', () => {
    const { problems } = readProfile(
      '{ "format": 1, "options": [4], "locked": [4], "title": 4, "lines": 4, "totals": [4], "module": -1 }',
    );
    const starts = problems.map(({ span }) => span.start);
    assert.ok(starts.length >= 5);
    assert.deepEqual(
      starts,
      [...starts].sort((a, b) => a - b),
    );
  });

  it('joins ranges of addresses that touch or overlap, and no others', () => {
    const range = (from: number, to: number) => ({ from, to });
    assert.deepEqual(joinedRanges([range(8, 9), range(0, 3), range(4, 5), range(2, 3)]), [range(0, 5), range(8, 9)]);
    assert.deepEqual(joinedRanges([range(0, 9), range(2, 3), range(11, 11)]), [range(0, 9), range(11, 11)]);
    assert.deepEqual(joinedRanges([]), []);
    assert.deepEqual(joinedRanges([range(0, 1), range(4, 5), range(6, 7), range(7, 9)]), [range(0, 1), range(4, 9)]);
    assert.deepEqual([range(1, 0x1f), range(0xf, 0xf), range(0, 0x12345)].map(rangeInHex), [
      '0001–001F',
      '000F',
      '0000–12345',
    ]);
  });

  it('writes the data bytes of a line sum as it reads them', () => {
    for (const data of ['1-4,6', '2-end', '1-end-1', '3']) {
      const { profile, problems } = readProfile(
        JSON.stringify({
          format: 1,
          lines: { from: 1, to: 2, data: 8, sum: 1 },
          lineSum: { method: 'add', data },
        }),
      );
      assert.deepEqual(problems, []);
      assert.equal(writtenRanges(profile.lineSum?.data ?? []), data);
    }
  });

  it('knows of an image no line sums that a total could run over', () => {
    const { problems } = readProfile(
      '{ "format": 1, "addresses": { "from": 0, "to": 9 }, "totals": [{ "method": "add", "address": 9, "over": ["sums"] }] }',
    );
    assert.deepEqual(
      problems.map(({ message }) => say(message)),
      ['One of "data" is wanted here.'],
    );
  });

  it('takes one hazard or a list of them', () => {
    const read = (hazard: string) =>
      readProfile(
        `{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": {}, "hazard": ${hazard} }] }`,
      ).profile.options[0]?.hazards;
    assert.deepEqual(read('"security"'), ['security']);
    assert.deepEqual(read('["braking", "security"]'), ['braking', 'security']);
  });

  it('reads no file that is too large and no list that is too long, and says so before anyone gives up', function () {
    this.timeout(60_000);
    const large = readProfile(`{ "format": 1, "title": "${'x'.repeat(4 * 1024 * 1024)}" }`);
    assert.match(say(large.problems[0]?.message as Phrase), /too large/);
    assert.equal(large.problems[0]?.code, 'profile-unreadable');
    for (const [key, one, most] of [
      ['totals', '{"method":"add","label":#}', 3_000],
      ['options', '{"id":"a#","address":#,"values":{},"needs":[{"option":"b#","in":[1]}]}', 10_000],
      ['balance', '{"address":#}', 10_000],
      ['locked', '{"address":#,"length":65535}', 10_000],
    ] as const) {
      const all = Array.from({ length: 40_000 }, (_, i) => one.replaceAll('#', String(i)))
        .join(',')
        .slice(0, 4_000_000);
      const whole = all.slice(0, all.lastIndexOf('},{') + 1) || all;
      const { profile, problems } = readProfile(`{ "format": 1, "${key}": [${whole}] }`);
      assert.ok(
        problems.some(({ message }) => /too long/.test(say(message))),
        key,
      );
      assert.ok(profile[key].length <= most);
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
