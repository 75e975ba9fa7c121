// Copies for others: no known value is left in them in whatever way it was written, and what was right is right.
import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { mkdirSync } from 'node:fs';
import { resolve } from 'node:path';
import { describe, it } from 'mocha';
import { bench, CLI } from '../support/commandLine.js';

const VIN = '0DEM0T4X5TA020418';
const SERIAL = '4711908263';

const ascii = (text: string) => Array.from(text, (character) => character.charCodeAt(0));
const bcd = (digits: string) => digits.match(/../g)?.map((pair) => Number.parseInt(pair, 16)) ?? [];
const hexOf = (bytes: readonly number[]) =>
  bytes.map((byte) => byte.toString(16).toUpperCase().padStart(2, '0')).join(' ');
const reversed = (text: string) => [...text].reverse().join('');

/** What somebody finds who looks for a VIN in a file. */
function traces(vin: string): ReadonlyMap<string, readonly number[]> {
  const digits = /\d+$/.exec(vin)?.[0] ?? '';
  const even = digits.slice(digits.length % 2);
  return new Map([
    ['ASCII', ascii(vin)],
    ['ASCII, its end', ascii(vin.slice(-8))],
    ['ASCII, its beginning', ascii(vin.slice(0, 8))],
    ['ASCII from last to first', ascii(reversed(vin))],
    ['UTF-16LE', ascii(vin).flatMap((code) => [code, 0])],
    ['UTF-16BE', ascii(vin).flatMap((code) => [0, code])],
    ['BCD', bcd(even)],
    ['BCD from last to first', bcd(even).reverse()],
    ['inverted', ascii(vin).map((code) => code ^ 0xff)],
  ]);
}

function includes(bytes: Buffer, wanted: readonly number[]): boolean {
  return bytes.includes(Buffer.from(wanted));
}

/** A dump of lines of six bytes with the sums of PROFILE, worked out here: of each line with its number, and of all data. */
function dumpOf(headers: readonly string[], bytes: readonly number[], remarks: readonly string[] = []): string {
  const sumOf = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0);
  const data = Array.from({ length: LINES }, (_, i) => {
    const own = bytes.slice(6 * i, 6 * i + 6);
    return [...own, ...Array(6 - own.length).fill(0x11)];
  });
  const lines = data.map((own, i) => `${i + 1}: ${hexOf(own)} | ${hexOf([(sumOf(own) + i + 1) & 0xff])}`);
  const total = sumOf(data.flat()) & 0xffff;
  return [...headers, ...remarks, ...lines, `total: ${hexOf([total >> 8, total & 0xff]).replace(' ', '')}`, ''].join(
    '\n',
  );
}

const LINES = 40;

const PROFILE = {
  format: 1,
  title: 'Module of the tests',
  lines: { from: 1, to: LINES, data: 6, sum: 1 },
  lineSum: { method: 'add', bits: 8, over: ['label', 'data'] },
  totals: [{ name: 'file sum', label: 'total', method: 'add', bits: 16, over: ['data'] }],
  locked: [{ line: 1, why: 'identity' }],
  options: [{ id: 'mode', title: 'Mode', line: 40, byte: 6, values: { '17': 'plain', '1': 'other' } }],
};

/** All of its data without labels, sums and what people wrote. */
function dataOf(text: string): Buffer {
  const lines = [...text.matchAll(/^\d+: ([0-9A-F ]+?) ?\|/gm)].map(([, digits = '']) => digits.replace(/ /g, ''));
  return Buffer.from(lines.join(''), 'hex');
}

describe('copies for others', () => {
  const { call, read, write, names, path, everything } = bench('empty');
  const profile = (more: object = {}) =>
    write('m.dump-profile.json', `${JSON.stringify({ ...PROFILE, ...more }, null, 2)}\n`);
  const headers = ['@profile m.dump-profile.json', `@vin ${VIN}`, '@vehicle white estate B-XY 4711'];
  const sound = (name: string) => {
    const { status, stdout } = call('check', name);
    assert.equal(status, 0, stdout);
  };
  const copies = () => names().filter((name) => name.startsWith('out/'));

  it('hold no VIN in any way of writing it, and are right as before', () => {
    const hidden = [...traces(VIN).values()].flatMap((bytes) => [...bytes, 0xee]);
    write(
      `${VIN}-body.cfgdump`,
      dumpOf([...headers, `@note for ${VIN.toLowerCase()}, again ${reversed(VIN)}`, '@owner Jo Muster'], hidden, [
        `# car 0DEM0-T4X5T-A0204-18, hex ${hexOf(ascii(VIN))}`,
        '# taken by jo@example.org, call +49 30 1234567',
      ]),
    );
    profile({ note: `found in ${VIN}` });
    sound(`${VIN}-body.cfgdump`);
    const before = everything();
    const { status, stdout, stderr } = call('share', `${VIN}-body.cfgdump`, '--out', 'out');
    assert.equal(status, 0, stderr);
    const shared = copies();
    assert.equal(shared.length, 2);
    for (const name of shared) {
      const text = `${name}\n${read(name)}`;
      for (const [how, trace] of traces(VIN)) {
        assert.ok(!includes(dataOf(text), trace), `${how} in the bytes of ${name}`);
        assert.ok(
          !text.replace(/\s/g, '').includes(hexOf(trace).replace(/\s/g, '')),
          `${how} in the digits of ${name}`,
        );
      }
      for (const written of [VIN, reversed(VIN), VIN.slice(-6), 'Jo Muster', '4711'])
        assert.ok(
          !text.replace(/[\s-]/g, '').toUpperCase().includes(written.replace(/[\s-]/g, '').toUpperCase()),
          written,
        );
    }
    const [copy = ''] = shared.filter((name) => name.endsWith('.cfgdump'));
    assert.match(read(copy), /^@vin [A-HJ-NPR-Z0-9]{17}$/m);
    assert.equal(call('check', copy).status, 0, call('check', copy).stdout);
    assert.match(stdout, /UTF-16/);
    assert.match(stdout, /BCD/);
    assert.match(stdout, /left: Row \d+: "jo@example\.org" looks like an e-mail address/);
    assert.match(stdout, /left: Row \d+: "\+49 30 1234567" looks like a telephone number/);
    for (const [name, text] of Object.entries(before)) assert.equal(read(name), text);
  });

  it('change no byte but those masked and the sums of their lines', () => {
    profile();
    write('a.cfgdump', dumpOf(headers, [...ascii(VIN), 1, 2, 3, 4]));
    sound('a.cfgdump');
    assert.equal(call('share', 'a.cfgdump', '--out', 'out').status, 0);
    const [was, now] = [dataOf(read('a.cfgdump')), dataOf(read('out/a.cfgdump'))];
    assert.deepEqual(now.subarray(VIN.length), was.subarray(VIN.length));
    assert.equal(now.subarray(0, VIN.length).toString(), /^@vin (.*)$/m.exec(read('out/a.cfgdump'))?.[1]);
  });

  it('have the same mask for the same value in every file, and another one for another', () => {
    profile();
    const other = '0DEM0T4X2TA770419';
    write('a.cfgdump', dumpOf(headers, ascii(VIN)));
    write('b.cfgdump', dumpOf(['@profile m.dump-profile.json'], ascii(VIN)));
    write('c.cfgdump', dumpOf(['@profile m.dump-profile.json', `@vin ${other}`], ascii(other)));
    for (const name of ['a.cfgdump', 'b.cfgdump', 'c.cfgdump']) sound(name);
    assert.equal(call('share', 'a.cfgdump', 'b.cfgdump', 'c.cfgdump', '--out', 'out').status, 0);
    const masks = ['a', 'b', 'c'].map((name) =>
      dataOf(read(`out/${name}.cfgdump`))
        .subarray(0, 17)
        .toString(),
    );
    assert.equal(masks[0], masks[1]);
    assert.notEqual(masks[0], masks[2]);
  });

  it('hold invented values in personal options and places, and the serial number nowhere else', () => {
    profile({
      locked: [{ line: 1, why: 'identity', personal: true }],
      options: [
        { id: 'serial', title: 'Serial number', line: 2, bytes: '1-5', number: { coding: 'bcd' }, personal: true },
        { id: 'made', title: 'Made on', line: 3, bytes: '1-3', date: 'DDMMYY', coding: 'bcd', personal: true },
        { id: 'country', title: 'Country', line: 3, byte: 4, values: { '17': 'A', '1': 'B' }, personal: true },
        { id: 'name', title: 'Name', line: 4, bytes: '1-6', text: 'ascii', personal: true },
      ],
    });
    const data = [
      1,
      2,
      3,
      4,
      5,
      6,
      ...bcd(SERIAL),
      0x11,
      ...bcd('240226'),
      0x11,
      0x11,
      0x11,
      ...ascii('Mueller'.slice(0, 6)),
    ];
    write('a.cfgdump', dumpOf(['@profile m.dump-profile.json', `@note unit ${SERIAL}, Muelle`], data));
    sound('a.cfgdump');
    const { status, stderr, stdout } = call('share', 'a.cfgdump', '--out', 'out');
    assert.equal(status, 0, stderr);
    const text = read('out/a.cfgdump');
    const [was, now] = [dataOf(read('a.cfgdump')), dataOf(text)];
    for (let line = 0; line < 4; line++)
      assert.notDeepEqual(
        now.subarray(6 * line, 6 * line + 6),
        was.subarray(6 * line, 6 * line + 6),
        `line ${line + 1}`,
      );
    assert.doesNotMatch(text, /4711908263|Muelle/);
    assert.equal(call('check', 'out').status, 0, call('check', 'out').stdout);
    assert.match(stdout, /No VIN is known/);
  });

  it('have decimal digits where there were some, however many different numbers are shared', () => {
    profile({ locked: [{ line: 1, why: 'serial number', personal: true }] });
    const files = Array.from({ length: 12 }, (_, i) => `m${i + 10}.cfgdump`);
    for (const [i, name] of files.entries())
      write(name, dumpOf(['@profile m.dump-profile.json'], bcd(`4711908263${i + 10}`)));
    const { status, stderr } = call('share', ...files, '--out', 'out');
    assert.equal(status, 0, stderr);
    const numbers = copies()
      .filter((name) => name.endsWith('.cfgdump'))
      .map((name) => dataOf(read(name)).subarray(0, 6).toString('hex'));
    assert.equal(new Set(numbers).size, 12);
    for (const number of numbers) assert.match(number, /^(?!4711)\d{12}$/);
  });

  it('are no clean success where something that was asked for was found in none of them', () => {
    profile({ title: 'Module of Ada' });
    write('a.cfgdump', dumpOf(headers, [0x10, 0x22, 0x31], ['# by Jo']));
    sound('a.cfgdump');
    const share = (...hidden: readonly string[]) =>
      call('share', 'a.cfgdump', '--out', `out-${hidden.join()}`, ...hidden.flatMap((one) => ['--hide', one]));
    const missed = share('10 22 31', 'ZZTOP99');
    assert.equal(missed.status, 1, missed.stderr);
    assert.match(missed.stdout, /^"ZZTOP99" was found in none of the copies$/m);
    const { stdout: short } = share('14', '2041');
    assert.match(short, /^"14" is too short to be looked for in the bytes as digits$/m);
    assert.doesNotMatch(short, /"2041" is too short/);
    assert.doesNotMatch(missed.stdout, /"10 22 31" was found/);
    assert.doesNotMatch(read('out-10 22 31,ZZTOP99/a.cfgdump'), /10 22 31/);
    assert.equal(share('10 22 31', 'Ada', 'Jo').status, 0);
  });

  it('are refused, with nothing written, where a sum cannot be kept right', () => {
    profile({
      totals: [{ name: 'check word', line: 1, byte: 5, method: 'add', bits: 16, over: ['data'] }],
    });
    const data = [...Array(6).fill(0), ...ascii(VIN)];
    write('a.cfgdump', dumpOf(headers, data).replace(/^total.*\n/m, ''));
    const free = {
      ...PROFILE,
      locked: [],
      totals: [{ name: 'check word', line: 1, byte: 5, method: 'add', bits: 16, over: ['data'] }],
    };
    write('free.dump-profile.json', JSON.stringify(free));
    const text = read('a.cfgdump');
    write('a.cfgdump', text.replace('m.dump-profile.json', 'free.dump-profile.json'));
    assert.equal(call('fix', 'a.cfgdump', '--write').status, 0);
    write('a.cfgdump', read('a.cfgdump').replace('free.dump-profile.json', 'm.dump-profile.json'));
    assert.equal(call('check', 'a.cfgdump').status, 0, call('check', 'a.cfgdump').stdout);
    const { status, stderr } = call('share', 'a.cfgdump', '--out', 'out');
    assert.equal(status, 2);
    assert.match(stderr, /check word is stored in a locked place/);
    assert.deepEqual(copies(), []);
  });

  it('are refused where a profile has problems, a row cannot be read, or no profile says how sums are made', () => {
    profile();
    write('a.cfgdump', dumpOf(headers, ascii(VIN)));
    sound('a.cfgdump');
    const good = read('a.cfgdump');
    const refused = (text: string, why: RegExp) => {
      write('a.cfgdump', text);
      const { status, stderr } = call('share', 'a.cfgdump', '--out', 'out');
      assert.equal(status, 2);
      assert.match(stderr, why);
      assert.deepEqual(copies(), []);
    };
    refused(good.replace('@profile m.dump-profile.json\n', ''), /no profile says how its sums are made/);
    refused(good.replace(/^9: 11/m, '9: 1G'), /cannot be read, so nobody can tell/);
    profile({ lokced: [] });
    refused(good, /problems/);
  });

  it('leave what is wrong as it is, so that somebody else can find it', () => {
    profile();
    write('a.cfgdump', dumpOf(headers, ascii(VIN)));
    sound('a.cfgdump');
    write('a.cfgdump', read('a.cfgdump').replace(/^9: 11/m, '9: 12'));
    assert.equal(call('share', 'a.cfgdump', '--out', 'out').status, 0);
    assert.match(read('out/a.cfgdump'), /^9: 12/m);
    const problems = (name: string) =>
      call('check', name)
        .stdout.replace(/^.*?: /gm, '')
        .replace(/[0-9A-F]{4}/g, '');
    assert.equal(problems('out/a.cfgdump').split('\n').length, problems('a.cfgdump').split('\n').length);
  });

  it('go into a folder that is new or empty, and into no other', () => {
    profile();
    write('a.cfgdump', dumpOf(headers, ascii(VIN)));
    sound('a.cfgdump');
    mkdirSync(path('out'));
    write('out/note.txt', 'mine');
    const before = everything();
    for (const folder of ['out', '.', 'a.cfgdump']) {
      const refused = call('share', 'a.cfgdump', '--out', folder);
      assert.equal(refused.status, 2, folder);
      assert.match(refused.stderr, folder === 'a.cfgdump' ? /cannot be written/ : /is not empty/);
    }
    assert.deepEqual(everything(), before);
    mkdirSync(path('empty'));
    for (const folder of ['empty', 'deep/er']) {
      const { status, stderr } = call('share', 'a.cfgdump', '--out', folder);
      assert.equal(status, 0, stderr);
      assert.deepEqual(
        names().filter((name) => name.startsWith(folder)),
        [`${folder}/a.cfgdump`, `${folder}/m.dump-profile.json`],
      );
    }
    assert.equal(call('share', 'a.cfgdump').status, 2);
  });

  it('are all there or none, wherever a run is killed', function () {
    this.timeout(120_000);
    profile();
    for (const name of ['a.cfgdump', 'b.cfgdump']) {
      write(name, dumpOf(headers, ascii(VIN)));
      sound(name);
    }
    let cut = 0;
    for (let kill = 4; ; kill += 3) {
      const args = [
        '--require',
        resolve('test/attack/killAt.cjs'),
        CLI,
        'share',
        'a.cfgdump',
        'b.cfgdump',
        '--out',
        'out',
      ];
      const env = { ...process.env, COUNTERSUM_KILL: String(kill) };
      const { signal } = spawnSync(process.execPath, args, { cwd: path('.'), env });
      if (signal === null) break;
      cut++;
      assert.deepEqual(copies(), []);
    }
    assert.ok(cut > 3);
    assert.deepEqual(copies(), ['out/a.cfgdump', 'out/b.cfgdump', 'out/m.dump-profile.json']);
  });

  it('of a sealed backup have a seal of their own', () => {
    profile();
    write('a.cfgdump', dumpOf([...headers, '@taken 2026-03-02T09:14:00Z'], ascii(VIN)));
    sound('a.cfgdump');
    const seal = call('show', '--json', 'a.cfgdump');
    assert.equal(seal.status, 0);
    write('b.cfgdump', `@seal sha256:${'0'.repeat(64)}\n${read('a.cfgdump')}`);
    assert.equal(call('share', 'b.cfgdump', '--out', 'out').status, 0);
    assert.doesNotMatch(read('out/b.cfgdump'), /@seal|@taken/);
  });

  for (const [form, ending] of [
    ['binary', 'bin'],
    ['hex-view', 'xxd'],
    ['intel-hex', 'hex'],
    ['s-record', 's19'],
    ['ti-txt', 'txt'],
  ] as const)
    it(`are made of ${form} as of any other form`, () => {
      const bytes = [
        ...Array(16).fill(0xa7),
        ...ascii(VIN),
        ...Array(11).fill(0x93),
        ...bcd('020418'),
        ...Array(17).fill(0xa9),
      ];
      const lines = Array.from(
        { length: 4 },
        (_, i) => `0x${(16 * i).toString(16)}: ${hexOf(bytes.slice(16 * i, 16 * i + 16))}`,
      );
      write('plain.cfgdump', `${lines.join('\n')}\n`);
      const name = `a.${ending}`;
      assert.equal(call('convert', 'plain.cfgdump', '--to', form, '--out', name).status, 0);
      write(
        'i.dump-profile.json',
        JSON.stringify({
          format: 1,
          addresses: { from: 0, to: 63 },
          totals: [{ name: 'xor', address: 62, method: 'xor', bits: 8, over: [{ from: 0, to: 61 }] }],
          locked: [{ address: 16, length: 17, why: 'VIN' }],
        }),
      );
      const profiled = ['--profile', 'i.dump-profile.json'];
      const fixed = call('fix', name, '--write', ...profiled);
      assert.equal(fixed.status, 0, fixed.stderr);
      const { status, stderr } = call('share', name, '--out', 'out', '--hide', VIN, ...profiled);
      assert.equal(status, 0, stderr);
      const back = call(
        'convert',
        `out/${name}`,
        '--to',
        'binary',
        '--out',
        'back.bin',
        ...(form === 'binary' ? ['--from', 'hex-view'] : []),
      );
      if (form !== 'binary') assert.equal(back.status, 0, back.stderr);
      const raw = Buffer.from(read(form === 'binary' ? `out/${name}` : 'back.bin'), 'latin1');
      for (const [how, trace] of traces(VIN)) assert.ok(!includes(raw, trace), how);
      assert.doesNotMatch(read(`out/${name}`), /DEM0T|0204 ?18/);
      assert.equal(call('check', `out/${name}`, '--profile', 'out/i.dump-profile.json').status, 0);
    });
});
