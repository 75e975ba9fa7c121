// What small commands say, word for word, each in this process; and what a terminal is shown of any text.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { escapedText, sayOnTerminal } from '../../server/src/cli/say.js';
import { phrase } from '../../shared-core/src/base/index.js';
import { demoBench } from '../support/demoBench.js';
import { assertExpected } from '../support/expected.js';

const PROFILE = {
  format: 1,
  lines: { from: 1, to: 2, data: 3, sum: 1 },
  lineSum: { method: 'add', over: ['label', 'data'] },
  appliesTo: { part: ['SE-*'] },
};
const OWN = '@part SE-1\n1: 01 02 03 | 07\n2: 10 21 00 | 33\n';

describe('small commands', () => {
  const { run, told, write } = demoBench([]);
  const session = async (calls: readonly (readonly string[])[]) => {
    let all = '';
    for (const words of calls) all += await told(words);
    return all;
  };

  it('use-profile names a profile where it explains everything', async () => {
    write('p.dump-profile.json', JSON.stringify(PROFILE));
    write('torn.dump-profile.json', '{ "format": 2 }');
    write('a.cfgdump', OWN);
    write('b.cfgdump', OWN.replaceAll('\n', '\r\n'));
    write('named.cfgdump', `@profile other.dump-profile.json\n${OWN}`);
    write('wrong.cfgdump', OWN.replace('| 33', '| 34'));
    write('raw.bin', Uint8Array.of(0, 1, 2, 0xff));
    const all = ['a.cfgdump', 'b.cfgdump', 'named.cfgdump', 'wrong.cfgdump', 'raw.bin'];
    assertExpected(
      'cli/use-profile.txt',
      await session([
        ['use-profile', 'p.dump-profile.json', ...all],
        ['use-profile', 'p.dump-profile.json', ...all, '--json'],
        ['use-profile', 'p.dump-profile.json', 'wrong.cfgdump'],
        ['use-profile', 'torn.dump-profile.json', 'a.cfgdump'],
        ['use-profile', 'none.dump-profile.json', 'a.cfgdump'],
        ['use-profile', 'p.dump-profile.json', ...all, '--write'],
        ['use-profile', 'p.dump-profile.json', ...all, '--write'],
        ['use-profile', 'p.dump-profile.json'],
      ]),
    );
  });

  it('check places what is wrong with a profile or a retrofit', async () => {
    write(
      'wrong.dump-profile.json',
      '{\r\n  "format": 1,\r  "title": 4,\n  "lines": { "from": 1, "to": 0 },\n  "lockd": [] }\n',
    );
    write(
      'wrong.retrofit.json',
      '{ "format": 1,\n  "modules": [{ "profile": "none.dump-profile.json", "set": {} }] }\n',
    );
    write(
      'far.dump-profile.json',
      JSON.stringify({
        format: 1,
        options: [
          {
            id: 'a',
            line: 1,
            byte: 1,
            number: {},
            needs: [{ profile: 'none.dump-profile.json', option: 'b', in: [1] }],
          },
        ],
      }),
    );
    assertExpected(
      'cli/check-json.txt',
      await session([
        ['check', 'wrong.dump-profile.json'],
        ['check', 'wrong.dump-profile.json', '--json'],
        ['check', 'wrong.retrofit.json'],
        ['check', 'wrong.retrofit.json', '--format', 'json'],
        ['check', 'wrong.retrofit.json', '--format', 'github'],
        ['check', 'far.dump-profile.json'],
        ['check', 'far.dump-profile.json', 'wrong.retrofit.json', '--json'],
      ]),
    );
  });

  it('convert says how, what is lost, and why not', async () => {
    write('a.hex', ':0410000001020304E2\n; hello\n:0400000500001000E7\n:00000001FF\n');
    write('w.hexlist', '0x0102, 0x0304\n');
    write('torn.hex', ':0410000001020304E3\n:00000001FF\n');
    write(
      'w.dump-profile.json',
      '{ "format": 1, "word": { "bytes": 2, "order": "little" }, "addresses": { "from": 4096, "to": 4099 } }',
    );
    write('p.cfgdump', '@profile w.dump-profile.json\n@word 2le\n0x1000: 01 02 03 04\n');
    const calls = [
      ['a.hex', '--to', 's-record'],
      ['a.hex', '--to', 's-record', '--json'],
      ['a.hex', '--to', 'dump-text', '--width', '2'],
      ['a.hex', '--to', 'intel-hex'],
      ['a.hex', '--to', 'nothing'],
      ['a.hex'],
      ['torn.hex', '--to', 's-record'],
      ['a.hex', '--to', 'hex-view', '--out', 'a.xxd'],
      ['a.hex', '--to', 'binary', '--offset', '0x1000', '--out', 'a.bin'],
      ['a.hex', '--to', 'binary', '--offset', '0x1001', '--out', 'b.bin'],
      ['a.hex', '--to', 'binary', '--out', 'c.bin'],
      ['a.hex', '--to', 'binary'],
      ['w.hexlist', '--to', 'dump-text'],
      ['w.hexlist', '--to', 'dump-text', '--word', '2le'],
      ['w.hexlist', '--to', 'binary', '--word', '2be', '--out', 'w.bin', '--json'],
      ['p.cfgdump', '--to', 'binary', '--offset', '0x1000', '--out', 'p.bin'],
      ['p.cfgdump', '--to', 'intel-hex'],
      ['p.cfgdump', '--to', 'intel-hex', '--word', '2be'],
      ['p.cfgdump', '--to', 'verilog'],
      ['a.hex', '--to', 'dump-text', '--profile', 'w.dump-profile.json'],
      ['none.hex', '--to', 'dump-text'],
    ];
    assertExpected('cli/convert.txt', await session(calls.map((words) => ['convert', ...words])));
  });

  it('serve says how an editor is connected', async () => {
    const { status, notes } = await run('serve');
    assert.deepEqual([status, notes], [2, 'Say how the editor is connected: countersum serve --stdio']);
  });
});

describe('a text on a terminal', () => {
  const ODD = 'a\nb\r\nc\rd\te\u001b[31m\u007f\u0080\u009f\u00a0\u2028\u2029\u202e\u2066\u200f\u0000é🚗';

  it('of lines keeps line ends and tabs, and moves no cursor', () => {
    assert.equal(
      escapedText(ODD),
      'a\nb\r\nc\\rd\te\\x1b[31m\\x7f\\x80\\x9f\u00a0\\u2028\\u2029\\u202e\\u2066\\u200f\\x00é🚗',
    );
  });

  it('in a sentence is one line, at any depth', () => {
    const shown = 'a\\nb\\r\\nc\\rd\\te\\x1b[31m\\x7f\\x80\\x9f\u00a0\\u2028\\u2029\\u202e\\u2066\\u200f\\x00é🚗';
    assert.equal(sayOnTerminal(phrase('{0} and {1}: {2}', ODD, 7, phrase('<{0}>', ODD))), `${shown} and 7: <${shown}>`);
  });
});
