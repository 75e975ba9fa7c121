import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { readdirSync, symlinkSync } from 'node:fs';
import { beforeEach, describe, it } from 'mocha';
import { bench } from '../support/commandLine.js';

const END = ':00000001FF\n';
const DATA = ':04000000A1B2C301E5\n';
const SUM = ':020004001702E1\n';
const IMAGE = {
  format: 1,
  addresses: { from: 0, to: 5 },
  totals: [{ name: 'image sum', method: 'add', bits: 16, order: 'little', over: [{ from: 0, to: 3 }], address: 4 }],
};
const PATTERN = {
  format: 1,
  notation: { pattern: '[{label:hex}] {data}', otherwise: 'keep' },
  addresses: { from: 0, to: 3 },
};

describe('files that cannot be read whole, on the command line', () => {
  const { folder, path, write, ...on } = bench('empty');
  beforeEach(() => {
    write('p.dump-profile.json', JSON.stringify(IMAGE));
    write('own.dump-profile.json', JSON.stringify(PATTERN));
  });
  const call = (...args: readonly string[]) => {
    const answer = on.call(...args);
    return { ...answer, said: answer.stdout + answer.stderr };
  };

  it('leave the others checked, and are named with the reason: status 2', () => {
    write('b.hex', `${DATA}${SUM}${END}`);
    const names = ['gone.hex', 'b.hex', 'p.dump-profile.json'];
    const { status, stdout, said } = call('check', ...names, '--json');
    assert.equal(status, 2, said);
    const { files } = JSON.parse(stdout) as { files: { file: string; unread?: string; problems: object[] }[] };
    assert.deepEqual(
      files.map(({ file, unread }) => [file, unread]),
      [
        ['gone.hex', 'gone.hex cannot be read: no such file'],
        ['b.hex', undefined],
        ['p.dump-profile.json', undefined],
      ],
    );
    const inWords = call('check', ...names);
    assert.equal(inWords.status, 2);
    assert.match(inWords.said, /gone\.hex cannot be read: no such file/);
    assert.doesNotMatch(inWords.said, /all good/);
    const alone = call('check', 'gone.hex', '--json');
    assert.equal(alone.status, 2);
    assert.equal(JSON.parse(alone.stdout).files[0].unread, 'gone.hex cannot be read: no such file');
  });

  it('in a folder, such as a torn profile or a text that is none, hide nothing of the others', () => {
    write('b.hex', `${DATA}${SUM}${END}`);
    write('c.txt.cfgdump', new Uint8Array([0xff, 0xfe, 0x41]));
    symlinkSync('loop.hex', path('loop.hex'));
    const { status, stdout } = call('check', 'loop.hex', '.', '--json');
    assert.equal(status, 2);
    const { files } = JSON.parse(stdout) as { files: { file: string; unread?: string }[] };
    assert.ok(files.some(({ file, unread }) => file.endsWith('b.hex') && unread === undefined));
    assert.match(files.find(({ file }) => file === 'loop.hex')?.unread ?? '', /links lead in a circle/);
  });

  it('in a folder, such as a link that leads nowhere and a pipe, are named, and nothing there is called good', () => {
    write('b.hex', `${DATA}${SUM}${END}`);
    symlinkSync('/nowhere/at/all.hex', path('lost.hex'));
    assert.equal(spawnSync('mkfifo', [path('pipe.hex')]).status, 0);
    const { status, stdout } = call('check', '.', '--json');
    assert.equal(status, 2);
    const { files } = JSON.parse(stdout) as { files: { file: string; unread?: string }[] };
    const whyOf = (name: string) => files.find(({ file }) => file.endsWith(name))?.unread ?? '';
    assert.equal(whyOf('b.hex'), '');
    assert.match(whyOf('lost.hex'), /lost\.hex cannot be read: the link leads nowhere/);
    assert.match(whyOf('pipe.hex'), /pipe\.hex cannot be read: /);
    const record = call('record', '.');
    assert.deepEqual([record.status, record.stdout], [2, '']);
    assert.match(record.stderr, /lost\.hex cannot be read: the link leads nowhere/);
  });

  const binary = (seed: number) => Uint8Array.from({ length: 500 }, (_, i) => (i * 7919 * seed + (i >> 3)) & 0xff);
  const viewer = (byte: string) => `00000000  ${byte} 4F 00 5F 00 00 00 00  |.O._....|\n*\n00000040\n`;
  const UNREAD: readonly (readonly [
    what: string,
    name: string,
    one: string | Uint8Array,
    other: string | Uint8Array,
  ])[] = [
    ['binaries under the name of an image', 'hex', binary(1), binary(3)],
    ['listings of a hex viewer', 'cfgdump', viewer('10'), viewer('20')],
    ['listings under the name of an image', 's19', viewer('10'), viewer('20')],
    ['empty files', 'cfgdump', '', ''],
    ['images without data', 'hex', END, END],
  ];
  for (const [what, ending, one, other] of UNREAD) {
    it(`${what} are never the same, and nothing in them was checked: status 2`, () => {
      write(`a.${ending}`, one);
      write(`b.${ending}`, other);
      const compared = call('compare', `a.${ending}`, `b.${ending}`, '--json');
      assert.equal(compared.status, 2, compared.said);
      const { identical, unread } = JSON.parse(compared.stdout);
      assert.equal(identical, false);
      assert.ok(unread.length >= 2);
      assert.equal(call('compare', `a.${ending}`, `a.${ending}`).status, 2);
      const checked = call('check', `a.${ending}`);
      assert.equal(checked.status, 2, checked.said);
      assert.match(checked.stdout, /holds no data that can be read, so nothing was checked/);
    });
  }

  const check = (...records: readonly string[]) => {
    write('a.hex', `${records.join('')}; @profile p.dump-profile.json\n`);
    return call('check', 'a.hex');
  };

  it('an image is good with all addresses of its profile only', () => {
    assert.deepEqual([check(DATA, SUM, END).status, check(DATA, SUM, END).stdout], [0, 'Files checked: 1, all good\n']);
    for (const records of [[END], [DATA, END], [SUM, END], [DATA, SUM]]) {
      const { status, stdout } = check(...records);
      assert.notEqual(status, 0, stdout);
      assert.doesNotMatch(stdout, /good/);
    }
    assert.match(check(DATA, END).stdout, /address-missing: Addresses 0004–0005 are missing/);
  });

  it('sums in little-endian order are shown as they are written', () => {
    const { stdout } = check(DATA, ':020004001703E0\n', END);
    assert.match(stdout, /image sum is 1703, its bytes make 1702/);
    const { files } = JSON.parse(call('check', 'a.hex', '--json').stdout);
    assert.deepEqual([files[0].problems[0].found, files[0].problems[0].expected], ['1703', '1702']);
  });

  it('without a profile no sum was checked, which is said in place of "all good"', () => {
    write('a.cfgdump', '1: 00\n');
    write('b.hex', DATA + END);
    for (const [file, words] of [
      ['a.cfgdump', /a\.cfgdump: no profile explains it, so no sum was checked/],
      ['b.hex', /b\.hex: no profile explains it, so the sums of its records were checked, and no file sum/],
    ] as const) {
      const { status, stdout } = call('check', file);
      assert.equal(status, 0);
      assert.match(stdout, words);
      assert.doesNotMatch(stdout, /all good/);
      assert.equal(JSON.parse(call('check', file, '--json').stdout).files[0].unchecked.length, 1);
    }
  });

  it('random bytes by a pattern are not good, and hex that is no record is neither checked nor converted in silence', () => {
    write('a.txt', binary(5));
    assert.notEqual(call('check', 'a.txt', '--profile', 'own.dump-profile.json').status, 0);
    write('b.txt', '[0000] 10 4F 00 01\n(0004] 10 4F\n');
    const checked = call('check', 'b.txt', '--profile', 'own.dump-profile.json');
    assert.equal(checked.status, 1);
    assert.match(checked.stdout, /b\.txt:2:1: error text-unreadable/);
    const converted = call(
      'convert',
      'b.txt',
      '--profile',
      'own.dump-profile.json',
      '--to',
      'intel-hex',
      '--out',
      'c.hex',
    );
    assert.equal(converted.status, 2);
    assert.match(converted.stderr, /Row 2 cannot be read/);
    write('d.hex', `${DATA}*\n${END}`);
    assert.equal(call('convert', 'd.hex', '--to', 'dump-text', '--out', 'c.hex').status, 2);
    assert.ok(!readdirSync(folder()).includes('c.hex'));
  });

  it('what differs is still shown where one side was not read whole', () => {
    write('a.hex', DATA + END);
    write('b.hex', DATA.replace('A1B2', 'A1B3').replace('E5', 'E4'));
    const { status, stdout } = call('compare', 'a.hex', 'b.hex');
    assert.equal(status, 2);
    assert.match(stdout, /Address 0001: B2 → B3/);
    assert.match(stdout, /Not read whole, now: row 1: The end record/);
  });
});
