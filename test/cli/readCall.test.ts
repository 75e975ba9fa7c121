// How the words of a call are read: whatever a command does not accept is refused, never passed over.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { COMMANDS } from '../../server/src/cli/commands.js';
import { address, choice, flag, group, list, number, type Options, text } from '../../server/src/cli/options.js';
import { type Accepts, readCall } from '../../server/src/cli/readCall.js';
import { Failure } from '../../server/src/files/failure.js';
import { phrase, say } from '../../shared-core/src/base/index.js';

const does = phrase('x');
const OPTIONS: Options = {
  write: flag(does),
  out: text('FILE', does),
  width: number(1, 250, does),
  offset: address(does),
  word: choice(['2le', '4be'], does),
  despite: list('OPTION', does),
  with: group('FILE…', does),
  without: group('FILE…', does),
};
const ANY: Accepts = { name: 'do', arguments: '[FILE…]', options: OPTIONS, exclusive: [['write', 'out', 'width']] };

const read = (...words: readonly string[]) => readCall(ANY, words);
const value = (name: string, ...words: readonly string[]) => read(...words).values[name];
function refused(words: readonly string[], accepts: Accepts = ANY): string {
  try {
    readCall(accepts, words);
    return 'accepted';
  } catch (error) {
    if (!(error instanceof Failure)) throw error;
    return say(error.said);
  }
}

describe('the words of a call', () => {
  it('are files, in their order, but for options and what belongs to them', () => {
    assert.deepEqual(read('a', '--word=2le', 'b', '--out', 'c', '-', 'd'), {
      files: ['a', 'b', '-', 'd'],
      json: false,
      values: {
        write: false,
        out: 'c',
        width: undefined,
        offset: undefined,
        word: '2le',
        despite: [],
        with: [],
        without: [],
      },
    });
    assert.deepEqual(read('--json').json, true);
    assert.deepEqual(value('write'), false);
  });

  it('behind "--" are files, whatever they look like', () => {
    assert.deepEqual(read('--', '--write', '-x', '--', '-').files, ['--write', '-x', '--', '-']);
    assert.equal(value('write', '--', '--write'), false);
  });

  it('give a value behind an option or its "=", which alone may begin with a dash', () => {
    assert.equal(value('out', '--out', 'c'), 'c');
    assert.equal(value('out', '--out=c=d'), 'c=d');
    assert.equal(value('out', '--out=-c'), '-c');
    assert.equal(value('out', '--out=a\nb'), 'a\nb');
    assert.equal(value('out', '--out', '-'), '-');
    for (const words of [['--out'], ['--out', '--json'], ['--out', '-c'], ['--out='], ['--out', ''], ['--out', '--']])
      assert.equal(refused(words), '"--out" needs a value: --out FILE', words.join(' '));
    assert.equal(refused(['--despite']), '"--despite" needs a value: --despite OPTION');
  });

  it('give one value where one is wanted, and all of a list in their order', () => {
    assert.equal(refused(['--out', 'a', '--out=a']), '"--out" is given twice. Give it once.');
    assert.deepEqual(value('despite', '--despite', 'a', '--despite=b'), ['a', 'b']);
    assert.deepEqual(value('despite', '--despite=a', '--despite', 'b'), ['a', 'b']);
    assert.equal(value('write', '--write', '--write'), true);
  });

  it('behind a group are its files up to the next, and "=" gives it none', () => {
    const { files, values: given } = read('a', '--with', 'b', '-', '--without', 'c', '--with', 'd', '--write');
    assert.deepEqual(
      [files, ...['with', 'without', 'write'].map((name) => given[name])],
      [['a'], ['b', '-', 'd'], ['c'], true],
    );
    for (const name of ['with', 'write', 'json']) assert.equal(refused([`--${name}=x`]), `"--${name}" takes no value.`);
    assert.equal(refused(['--write=']), '"--write" takes no value.');
  });

  it('are refused where an option is unknown; one that is near is named', () => {
    assert.equal(refused(['--wirte']), '"do" has no option "--wirte"; "--write" is probably meant.');
    assert.equal(refused(['--wirte=1']), '"do" has no option "--wirte"; "--write" is probably meant.');
    assert.equal(refused(['--desp']), '"do" has no option "--desp"; "--despite" is probably meant.');
    assert.equal(refused(['--jsom']), '"do" has no option "--jsom"; "--json" is probably meant.');
    assert.equal(refused(['--de']), '"do" has no option "--de"; "--despite" is probably meant.');
    const all = '--write, --out, --width, --offset, --word, --despite, --with, --without, --json';
    for (const word of ['-w', '--d', '--x', '--constructor', '--toString', '--__proto__', '---', '--=x'])
      assert.ok(refused([word]).endsWith(`It has: ${all}.`), refused([word]));
  });

  it('are refused where a file has no name, and where two options exclude each other', () => {
    assert.equal(refused(['a', '']), 'The name of a file is empty.');
    assert.equal(refused(['--', '']), 'The name of a file is empty.');
    assert.equal(refused(['--write', '--out', 'a']), 'Give "--write" or "--out", not both.');
    assert.equal(refused(['--width', '3', '--out', 'a']), 'Give "--out" or "--width", not both.');
    assert.equal(refused(['--write', '--despite', 'a']), 'accepted');
  });

  it('are refused where they ask one command for two things of which it can do but one', () => {
    const words = (names: readonly string[]) =>
      names.flatMap((name) =>
        ['retotal', 'lines', 'write', 'json'].includes(name) ? `--${name}` : [`--${name}`, '1'],
      );
    for (const [name, ...pairs] of [
      ['check', 'json format', 'profile profiles'],
      ['fix', 'balance retotal', 'balance lines', 'retotal lines', 'write out', 'profile profiles'],
      ['set', 'balance retotal', 'balance lines', 'retotal lines', 'write out', 'profile profiles'],
      ['restore', 'write out'],
      ['show', 'profile profiles'],
      ['find-option', 'write out', 'trials add'],
      ['profile merge', 'write out'],
      ['profile import', 'write out'],
    ] as const) {
      const command = COMMANDS.find((one) => one.name === name);
      assert.ok(command, name);
      const said = pairs.map((pair) => {
        const [one = '', other = ''] = pair.split(' ');
        return refused([...words([other, one]), 'a', 'b'], command);
      });
      const wanted = pairs.map((pair) => `Give ${pair.replace(/(\S+) (\S+)/, '"--$1" or "--$2"')}, not both.`);
      assert.deepEqual(said, wanted, name);
    }
  });

  it('are as many files as the command wants, and none of a group counts', () => {
    const takes = (wanted: string, ...words: readonly string[]) => refused(words, { ...ANY, arguments: wanted });
    for (const [wanted, least, most] of [
      ['', 0, 0],
      ['FILE', 1, 1],
      ['BEFORE AFTER', 2, 2],
      ['FILE [LINE…]', 1, 9],
      ['FILE…', 1, 9],
      ['[FILE]', 0, 1],
    ] as const)
      for (let count = 0; count < 9; count++)
        assert.equal(
          takes(wanted, ...Array.from({ length: count }, () => 'a')) === 'accepted',
          count >= least && count <= most,
          `${wanted}: ${count}`,
        );
    assert.equal(takes('FILE'), 'Use: countersum do FILE');
    assert.equal(takes('', 'a'), 'Use: countersum do');
    assert.equal(takes('FILE', '--with', 'a'), 'Use: countersum do FILE');
  });

  it('are a number in its bounds, an address of 32 bits, or one of some words', () => {
    for (const [name, good, bad] of [
      ['width', ['1', '250', '007'], ['0', '251', '-1', '1e1', '1.5', ' 1', '0x1', '1000000000', 'x']],
      [
        'offset',
        ['0', '4294967295', '0xFFFFFFFF', '0xff'],
        ['4294967296', '0x', '0x100000000', 'ff', '-1', '1 ', '99999999999'],
      ],
      ['word', ['2le', '4be'], ['2LE', '2', 'toString']],
    ] as const) {
      for (const one of good) assert.equal(refused([`--${name}=${one}`]), 'accepted', one);
      for (const one of bad)
        assert.match(refused([`--${name}=${one}`]), new RegExp(`^"--${name}": ".*" was given; `), one);
    }
    assert.deepEqual([value('width', '--width', '250'), value('offset', '--offset', '0x1F0')], [250, 0x1f0]);
    assert.equal(value('offset', '--offset', '4294967295'), 0xffffffff);
  });
});
