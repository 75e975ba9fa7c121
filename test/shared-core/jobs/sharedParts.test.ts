// What a copy for others is made of: where a value is found, what is personal by its name or its text, and profiles.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/phrase.js';
import { hitsIn } from '../../../shared-core/src/jobs/share/hits.js';
import { maskedBytes } from '../../../shared-core/src/jobs/share/maskedBytes.js';
import { isInPairs } from '../../../shared-core/src/jobs/share/masks.js';
import { personalOptions, secretsIn } from '../../../shared-core/src/jobs/share/personalPlaces.js';
import { maskedProfile, profilesNamedIn } from '../../../shared-core/src/jobs/share/sharedProfile.js';
import { masksFor } from '../../support/sharedCopies.js';
import { lines, profileOf } from '../../support/smallDumps.js';

const VIN = '0DEM0T4X5TA020418';
const codes = (text: string) => Array.from(text, (character) => character.charCodeAt(0));
const found = (units: string | readonly number[], text: string, look: Parameters<typeof hitsIn>[2]) =>
  hitsIn(typeof units === 'string' ? codes(units) : units, text, look).map(({ at, character }) => `${at}:${character}`);

const NOTHING: ReadonlySet<string> = new Set();

describe('a value in other text or bytes', () => {
  it('is found whole or in parts that are long enough, in capitals and small letters, each character at its place', () => {
    assert.deepEqual(found('..ABCDE..', 'abcde', { least: 4 }), ['2:0', '3:1', '4:2', '5:3', '6:4']);
    assert.deepEqual(found('..bcde', 'ABCDE', { least: 4 }), ['2:1', '3:2', '4:3', '5:4']);
    assert.deepEqual(found('..CDE', 'ABCDE', { least: 4 }), []);
    assert.deepEqual(found('ABCD-BCDE', 'ABCDE', { least: 4 }), [
      ...['0:0', '1:1', '2:2', '3:3'],
      ...['5:1', '6:2', '7:3', '8:4'],
    ]);
  });

  it('is found from last to first, inverted, and with two bytes a character', () => {
    assert.deepEqual(found('EDCBA', 'ABCDE', { least: 4, reversed: true }), ['0:4', '1:3', '2:2', '3:1', '4:0']);
    assert.deepEqual(
      found(
        codes('ABCD').map((code) => code ^ 0xff),
        'ABCD',
        { least: 4, turn: (byte: number) => byte ^ 0xff },
      ),
      ['0:0', '1:1', '2:2', '3:3'],
    );
    const little = codes('ABCD').flatMap((code) => [code, 0]);
    assert.deepEqual(found(little, 'ABCD', { least: 4, wide: 'little' }), ['0:0', '2:1', '4:2', '6:3']);
    assert.deepEqual(found([0, ...little.slice(0, -1)], 'ABCD', { least: 4, wide: 'big' }), [
      ...['1:0', '3:1', '5:2', '7:3'],
    ]);
  });

  const WAYS: readonly (readonly [string, (codes: readonly number[]) => readonly number[]])[] = [
    ['ascii', (codes) => codes],
    ['utf-16', (codes) => codes.flatMap((code) => [code, 0])],
    ['turned', (codes) => codes.flatMap((code) => [0xff - code, 0xff])],
    ['paired', (codes) => [0x80, ...codes].map((_, at, all) => all[at ^ 1] as number)],
    ['parted', (codes) => codes.flatMap((code) => [code, 0xff])],
    ['parted', (codes) => codes.flatMap((code, i) => [code, 7 * i + 1]).slice(0, -1)],
    ['parted', (codes) => codes.flatMap((code) => [0xff, code])],
    ['inverted', (codes) => codes.map((code) => 0xff - code)],
    ['swapped', (codes) => codes.map((code) => (code % 16) * 16 + Math.floor(code / 16))],
    [
      'mirrored',
      (codes) => codes.map((code) => Number.parseInt([...code.toString(2).padStart(8, '0')].reverse().join(''), 2)),
    ],
  ];
  for (const [way, write] of WAYS)
    it(`is masked in bytes as it is written there, ${way}, in both directions, and each character is told once`, () => {
      const masks = masksFor([{ text: VIN, inParts: true, inBytes: true }]);
      const mask = masks[0]?.mask ?? '';
      const forwards = maskedBytes(Uint8Array.from(write(codes(VIN))), masks).found;
      assert.deepEqual(
        forwards.map(({ count, reversed }) => [count, reversed]),
        [[VIN.length, false]],
        'told as a whole',
      );
      for (const turn of [(all: readonly number[]) => all, (all: readonly number[]) => [...all].reverse()]) {
        const bytes = Uint8Array.from(turn(write(codes(VIN))));
        const masked = maskedBytes(bytes, masks);
        assert.deepEqual([...masked.bytes], turn(write(codes(mask))));
        assert.deepEqual([...new Set(masked.found.map(({ coding }) => coding))], [way]);
        assert.equal(
          masked.found.reduce((all, { count }) => all + count, 0),
          VIN.length,
        );
      }
    });

  it('is told at each place by itself where it is in the bytes several times', () => {
    const masks = masksFor([{ text: VIN, inParts: true, inBytes: true }]);
    const bytes = Uint8Array.from([...codes(VIN), ...Array(40).fill(0xc3), ...codes(VIN)]);
    assert.deepEqual(
      maskedBytes(bytes, masks).found.map(({ at, count }) => [at, count]),
      [
        [0, VIN.length],
        [VIN.length + 40, VIN.length],
      ],
    );
  });

  it('is masked in small letters where it is written so, whatever is done to its bits', () => {
    const masks = masksFor([{ text: 'Q7Z9KB', inParts: true, inBytes: true }]);
    const mask = codes((masks[0]?.mask ?? '').toLowerCase());
    for (const turn of [(byte: number) => byte, (byte: number) => 0xff - byte])
      assert.deepEqual([...maskedBytes(Uint8Array.from(codes('q7z9kb').map(turn)), masks).bytes], mask.map(turn));
  });

  // Every turn of the bits with every way to write characters; digits of BCD are written by the test itself.
  const bits = (code: number) => code.toString(2).padStart(8, '0');
  const TURNS: Readonly<Record<string, (byte: number) => number>> = {
    plain: (byte) => byte,
    inverted: (byte) => 0xff - byte,
    swapped: (byte) => Number.parseInt(bits(byte).slice(4) + bits(byte).slice(0, 4), 2),
    mirrored: (byte) => Number.parseInt([...bits(byte)].reverse().join(''), 2),
  };
  const paired = (all: readonly number[]) => all.map((one, at) => all[at ^ 1] ?? one);
  const WRITTEN: Readonly<Record<string, (all: readonly number[]) => readonly number[]>> = {
    characters: (all) => all,
    'UTF-16, low byte first': (all) => all.flatMap((code) => [code, 0]),
    'UTF-16, high byte first': (all) => all.flatMap((code) => [0, code]),
    'exchanged pairs': paired,
    'exchanged pairs from an odd place': (all) => [all[0] ?? 0, ...paired(all.slice(1))],
  };
  for (const [turned, turn] of Object.entries(TURNS))
    for (const [way, write] of Object.entries(WRITTEN))
      it(`is masked in bytes as ${way}, ${turned}, in both directions`, () => {
        const masks = masksFor([{ text: VIN, inParts: true, inBytes: true }]);
        const mask = masks[0]?.mask ?? '';
        for (const order of [(all: readonly number[]) => all, (all: readonly number[]) => [...all].reverse()]) {
          const bytes = (text: string) => order(write(codes(text)).map(turn));
          const masked = maskedBytes(Uint8Array.from(bytes(VIN)), masks);
          assert.deepEqual([...masked.bytes], bytes(mask));
        }
      });
  for (const [turned, turn] of Object.entries(TURNS))
    it(`is masked in bytes as the two digits of a byte, ${turned}`, () => {
      const masks = masksFor([{ text: '9071835246', inParts: true, inBytes: true }]);
      const bytes = (text: string) => (text.match(/../g) ?? []).map((two) => turn(Number.parseInt(two, 16)));
      const masked = maskedBytes(Uint8Array.from(bytes('9071835246')), masks);
      assert.deepEqual([...masked.bytes], bytes(masks[0]?.mask ?? ''));
    });

  it('of decimal digits is found in halves of bytes where it says enough: six of them side by side, or all of a whole value', () => {
    const isFound = (text: string, digits: string, inParts = true) =>
      maskedBytes(
        Uint8Array.from((digits.padEnd(16, 'F').match(/../g) ?? []).map((pair) => Number.parseInt(pair, 16))),
        masksFor([{ text, inParts, inBytes: true }]),
      ).found.some(({ coding }) => coding === 'bcd');
    assert.equal(isFound('AB123456CD', '123456'), true);
    assert.equal(isFound('AB12345CD', '12345'), false);
    assert.equal(isFound('AB123456CD', '123456', false), false, 'only as a whole');
    assert.equal(isFound('12345', '12345'), true);
    assert.equal(isFound('123', '123'), false);
    // Of two different digits alone it says little until it is long.
    assert.equal(isFound('121212121212', '121212121212', false), false);
    assert.equal(isFound('1212121212121', '1212121212121', false), true);
  });

  it('is hex pairs where these are apart, or are long and no number', () => {
    for (const text of ['10 22', '10  22', '10 22 | 31', ' 10 22', '10-22-31', '1022 31', 'ab:CD', 'A1B2C3', 'fade01'])
      assert.equal(isInPairs(text), true, text);
    for (const text of ['10', '102231', 'A1B2', 'A1B2C', '1 022', '10 2G', ' 10 ', 'van 12', ''])
      assert.equal(isInPairs(text), false, text);
  });

  it('is found with characters before its first part that says enough', () => {
    assert.deepEqual(found('.AAAABCD.', 'AAAABCD', { least: 4 }), ['1:0', '2:1', '3:2', '4:3', '5:4', '6:5', '7:6']);
    assert.deepEqual(found('.AAABCD.', 'AAAABCD', { least: 4 }), ['1:1', '2:2', '3:3', '4:4', '5:5', '6:6']);
  });

  it('of few different characters is found whole and never in parts', () => {
    assert.deepEqual(found('.AAAA.', 'AAAA', { least: 4 }), ['1:0', '2:1', '3:2', '4:3']);
    assert.deepEqual(found('.AAAA.', 'AAAAAA', { least: 4 }), []);
    assert.deepEqual(found('.AABB.', 'AABBAA', { least: 4 }), []);
    assert.deepEqual(found('AB', 'AB', { least: 4 }), ['0:0', '1:1']);
    assert.deepEqual(found('AB', '', { least: 4 }), []);
  });
});

describe('what is personal in a dump', () => {
  const personal = (option: object, text = '1: 41 42 43 44\n') =>
    personalOptions(
      lines(
        profileOf({ format: 1, lines: { from: 1, to: 1, data: 4 }, options: [{ line: 1, bytes: '1-4', ...option }] }),
        text,
      ),
    ).map(({ isVin }) => isVin);

  it('is what the profile says, and what is called a VIN or a serial number', () => {
    const text = { text: 'ascii' };
    for (const title of [
      'VIN',
      'End of the VIN',
      'Vehicle identification',
      'FIN',
      'Fahrgestellnummer',
      'Fahrzeug-Ident',
    ])
      assert.deepEqual(personal({ id: 'x', title, ...text }), [true], title);
    for (const title of ['Serial number', 'Seriennummer'])
      for (const meaning of [text, { number: {} }]) assert.deepEqual(personal({ id: 'x', title, ...meaning }), [false]);
    for (const title of ['Vinyl roof', 'Final drive', 'Fog light'])
      assert.deepEqual(personal({ id: 'x', title, ...text }), [], title);
    assert.deepEqual(personal({ id: 'vin', title: 'X', number: {} }), []);
    assert.deepEqual(personal({ id: 'x', title: 'X', number: {}, personal: true }), [false]);
  });

  it('is looked for elsewhere by its text, by decimal digits where it has these, and as a number in what people wrote alone', () => {
    const looked = (meaning: object, bytes: string) => {
      const option = { id: 'x', title: 'X', line: 1, bytes: '1-4', personal: true, ...meaning };
      const profile = profileOf({ format: 1, lines: { from: 1, to: 1, data: 4 }, options: [option] });
      return secretsIn(lines(profile, `1: ${bytes}\n`)).map(({ text, inBytes }) => [text, inBytes]);
    };
    const bcd = { number: { coding: 'bcd' } };
    assert.deepEqual(
      looked(bcd, '00 12 34 56').filter(([, inBytes]) => inBytes),
      [['00123456', true]],
    );
    // Not all of it are decimal digits, so nobody has written it so.
    assert.deepEqual(
      looked(bcd, '00 12 3A 56').filter(([, inBytes]) => inBytes),
      [],
    );
    assert.deepEqual(looked({ number: {} }, '00 01 E2 40'), [['123456', false]]);
    // Four digits, or one digit again and again, are found anywhere.
    assert.deepEqual(looked({ number: {} }, '00 00 27 0E'), []);
    assert.deepEqual(looked({ number: {} }, '00 00 D9 03'), []);
    assert.deepEqual(looked({ text: 'ascii' }, '41 42 43 44'), []);
  });

  it('is a text that is a VIN, whatever it is called', () => {
    const dump = (text: string) => {
      const bytes = codes(text).map((code) => code.toString(16));
      const line = { from: 1, to: 1, data: 17 };
      const option = { id: 'x', title: 'X', line: 1, bytes: '1-17', text: 'ascii' };
      return personalOptions(
        lines(profileOf({ format: 1, lines: line, options: [option] }), `1: ${bytes.join(' ')}\n`),
      );
    };
    assert.equal(dump(VIN).length, 1);
    assert.equal(dump(VIN.toLowerCase()).length, 1);
    assert.equal(dump(VIN.replace('0', 'O')).length, 0);
    assert.equal(dump('no VIN at all, no').length, 0);
  });
});

describe('a profile for others', () => {
  const text = `{
  "format": 1,
  "extends": ["a.dump-profile.json", "b.dump-profile.json"],
  "options": [{ "needs": { "profile": "c.dump-profile.json" } }], // of ${VIN}
  "title": "profile"
}
`;

  it('names other profiles as their copies are called, and is else the same but for what is masked', () => {
    assert.deepEqual(profilesNamedIn(text), ['a.dump-profile.json', 'b.dump-profile.json', 'c.dump-profile.json']);
    const masks = masksFor([{ text: VIN, inParts: true, inBytes: true }]);
    const uri = (name: string) => `file:///${name}.dump-profile.json`;
    const names = new Map(['a', 'b', 'c'].map((name) => [`${name}.dump-profile.json`, uri(name)]));
    const copies = new Map([
      [uri('a'), '1.dump-profile.json'],
      [uri('c'), '"3".dump-profile.json'],
      [uri('own'), 'copy.dump-profile.json'],
    ]);
    const result = maskedProfile({ file: uri('own'), name: 'own', text, names }, masks, copies, NOTHING);
    assert.ok(result.ok);
    const expected = text
      .replace('"a.dump', '"1.dump')
      .replace('"c.dump', '"\\"3\\".dump')
      .replace(VIN, masks[0]?.mask ?? '');
    assert.equal(result.value.text, expected);
    assert.equal(result.value.name, 'copy.dump-profile.json');
    assert.deepEqual(
      result.value.masked.map(({ parts }) => parts[0]),
      [4],
    );
  });

  it('is masked in all that people wrote for people, and is refused where a rule holds it', () => {
    const masks = masksFor([{ text: 'Q7Z9KB', inParts: true, inBytes: true }]);
    const mask = masks[0]?.mask ?? '';
    const share = (json: object) =>
      maskedProfile(
        { file: 'file:///own', name: 'own', text: JSON.stringify({ format: 1, ...json }), names: new Map() },
        masks,
        new Map(),
        NOTHING,
      );
    const said = 'of Q7Z9KB';
    for (const json of [
      { title: said },
      { options: [{ id: 'a', title: said }] },
      { options: [{ id: 'a', group: said }] },
      { options: [{ id: 'a', note: said }] },
      { options: [{ id: 'a', evidence: said }] },
      { options: [{ id: 'a', caution: said }] },
      { options: [{ id: 'a', seen: [{ on: said }] }] },
      { locked: [{ line: 1, why: said }] },
      { samples: [{ dump: said }] },
    ]) {
      const shared = share(json);
      assert.ok(shared.ok, JSON.stringify(json));
      assert.equal(shared.value.text, JSON.stringify({ format: 1, ...json }).replace('Q7Z9KB', mask));
    }
    for (const json of [{ options: [{ id: said }] }, { options: [{ id: 'a', values: { 0: said } }] }])
      assert.equal(share(json).ok, false, JSON.stringify(json));
  });

  it('says nothing of who saw an option, and has each row where it was', () => {
    const seen = (by: string) => `{
  "format": 1,
  "lines": { "from": 1, "to": 1, "data": 2 },
  "options": [
    { "id": "fog", "title": "Fog lamps", "line": 1, "byte": 1, "values": { "0": "no" },
      "seen": [{ "value": 0, "on": "2026-03-02"${by} }],
    },
  ],
}
`;
    const file = 'file:///own';
    const share = (text: string) => {
      const result = maskedProfile({ file, name: 'own', text, names: new Map() }, [], new Map(), NOTHING);
      assert.ok(result.ok);
      return { text: result.value.text, said: result.value.masked.map((one) => say(one)) };
    };
    const named = share(seen(', "by": "Jo Example"'));
    assert.equal(named.text, seen(''));
    assert.deepEqual(named.said, ['Row 6: who saw an option is left out']);
    assert.deepEqual(share(seen(',\n        "by": "Jo Example"')).text, seen('\n'));
    assert.deepEqual(share(seen('')), { text: seen(''), said: [] });
  });

  it('keeps of what samples show nothing of personal options, and has each row where it was', () => {
    const text = `{
  "format": 1,
  "samples": [
    { "dump": "a.cfgdump", "expect": { "pin": "1234",
      "fog": "fitted",
      "sel": "dog" } },
    { "dump": "b.cfgdump", "expect": { "fog": "not fitted" } }
  ],
  "lines": { "from": 1, "to": 1, "data": 2 },
  "options": [
    { "id": "fog", "title": "Fog", "line": 1, "byte": 1, "values": { "0": "not fitted", "1": "fitted" },
      "seen": [{ "value": 0, "on": "2026-03-02", "by": "Jo Example" }] },
    { "id": "pin", "title": "Pin", "line": 1, "byte": 2, "bits": "3-0", "number": {} },
    { "id": "sel", "title": "Sel", "line": 1, "byte": 2, "bits": "7-4", "values": { "0": "cat", "1": "dog" } }
  ]
}
`;
    const source = { file: 'file:///own', name: 'own', text, names: new Map() };
    const result = maskedProfile(source, [], new Map(), new Set(['pin', 'sel']));
    assert.ok(result.ok, result.ok ? '' : say(result.why));
    const { samples } = JSON.parse(result.value.text);
    assert.deepEqual(samples[0].expect, { fog: 'fitted' });
    assert.deepEqual(samples[1].expect, { fog: 'not fitted' });
    assert.equal(result.value.text.split('\n').length, text.split('\n').length);
    assert.match(result.value.text.split('\n')[6] ?? '', /b\.cfgdump/);
    assert.deepEqual(
      result.value.masked.map((one) => say(one)),
      ['Row 12: who saw an option is left out', 'Row 4: what a sample shows of personal options is left out'],
    );
  });

  it('tells of the files that its evidence names', () => {
    const option = { id: 'fog', title: 'Fog', line: 1, byte: 1, values: { 0: 'no', 1: 'yes' } };
    const evidence = 'differs in 2 with (B-XY 12.cfgdump, miller.bin), 2 without it (v1.2)';
    const text = JSON.stringify({ format: 1, lines: { from: 1, to: 1, data: 2 }, options: [{ ...option, evidence }] });
    const result = maskedProfile({ file: 'file:///own', name: 'own', text, names: new Map() }, [], new Map(), NOTHING);
    assert.ok(result.ok);
    assert.deepEqual(
      result.value.left.map((one) => say(one)),
      ['Row 1: "12.cfgdump" is the name of a file', 'Row 1: "miller.bin" is the name of a file'],
    );
  });

  it('has each of its rules as it was, and is refused where one of them would tell a value', () => {
    const rules = { locked: [{ address: '0x1200', length: 2, why: 'of 1200' }], addresses: { from: 0, to: 471190 } };
    const text = `// car 1200\n${JSON.stringify({ format: 1, ...rules }, null, 2)}\n`;
    const share = (values: readonly string[]) =>
      maskedProfile(
        { file: 'file:///own', name: 'own', text, names: new Map() },
        masksFor(values.map((value) => ({ text: value, inParts: value.length > 5, inBytes: true }))),
        new Map(),
        NOTHING,
      );
    const short = share(['1200', '7']);
    assert.ok(short.ok);
    assert.match(short.value.text, /^\/\/ car 0001\n/);
    assert.deepEqual(JSON.parse(short.value.text.replace(/^.*/, '')), {
      ...{ format: 1, ...rules },
      locked: [{ address: '0x1200', length: 2, why: 'of 0001' }],
    });
    const long = share(['471190']);
    assert.match(long.ok ? '' : say(long.why), /^Row 13 of the profile holds in a rule what is to be masked/);
  });
});
