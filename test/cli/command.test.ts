// What a command is prepared with: how its files are read, which of them are dumps, and where its result goes.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { type Call, command } from '../../server/src/cli/command.js';
import { choice, FROM, group, number, OUT, PROFILES, UNCONFIRMED, WRITE } from '../../server/src/cli/options.js';
import { phrase } from '../../shared-core/src/base/index.js';

const does = phrase('x');
const OPTIONS = {
  with: group('FILE…', does),
  without: group('FILE…', does),
  depth: number(1, 9, does),
  to: choice(['binary', 'dump-text'], does),
  format: choice(['text', 'json'], does),
  ...{ ...FROM, ...OUT, ...PROFILES, ...UNCONFIRMED, ...WRITE },
};
const calls: Call<typeof OPTIONS>[] = [];
const ANY = command({
  name: 'do',
  arguments: '[FILE…]',
  does,
  options: OPTIONS,
  run: (call) => {
    calls.push(call);
    return { status: 0, json: {} };
  },
});
const PLAIN = { from: undefined, libraries: [] };
const NOWHERE = { write: false, out: undefined, force: false };

describe('a command with the words behind its name', () => {
  it('reads its files as they look, writes nothing and confirms nothing, unless that is said', () => {
    const { run, ...prepared } = ANY.prepare(['a']);
    assert.deepEqual(prepared, {
      json: false,
      places: ['a'],
      readAs: PLAIN,
      destination: NOWHERE,
      unconfirmed: false,
    });
  });

  it('is asked nothing that it has no option for', () => {
    const plain = command({ name: 'do', arguments: '', does, options: {}, run: () => ({ status: 0, json: {} }) });
    const { destination, unconfirmed, readAs } = plain.prepare([]);
    assert.deepEqual({ destination, unconfirmed, readAs }, { destination: NOWHERE, unconfirmed: false, readAs: PLAIN });
  });

  it('reads them as it is told', () => {
    for (const [words, readAs] of [
      [['--from', 'intel-hex', '--profiles', 'a', '--profiles', 'b'], { from: 'intel-hex', libraries: ['a', 'b'] }],
      [['--offset', '0'], { ...PLAIN, view: { offset: 0, word: undefined } }],
      [['--offset', '0x40'], { ...PLAIN, view: { offset: 0x40, word: undefined } }],
      [['--word', '2le'], { ...PLAIN, view: { offset: 0, word: '2le' }, word: { word: '2le', orOfResult: false } }],
      [['--to', 'binary'], PLAIN],
      [
        ['--word', '4be', '--offset', '2', '--to', 'dump-text'],
        { ...PLAIN, view: { offset: 2, word: '4be' }, word: { word: '4be', orOfResult: false } },
      ],
      [
        ['--word', '2le', '--to', 'binary'],
        { ...PLAIN, view: { offset: 0, word: '2le' }, word: { word: '2le', orOfResult: true } },
      ],
    ] as const)
      assert.deepEqual(ANY.prepare([...words, 'x']).readAs, readAs, words.join(' '));
  });

  it('says where the result goes, whether a script reads it, and what a person has confirmed', () => {
    const prepared = (...words: readonly string[]) => {
      const { json, destination, unconfirmed } = ANY.prepare(words);
      return { json, ...destination, unconfirmed };
    };
    const none = { json: false, ...NOWHERE, unconfirmed: false };
    assert.deepEqual(prepared('--write'), { ...none, write: true });
    assert.deepEqual(prepared('--out', 'b'), { ...none, out: 'b' });
    assert.deepEqual(prepared('--out', 'b', '--force'), { ...none, out: 'b', force: true });
    assert.deepEqual(prepared('--unconfirmed'), { ...none, unconfirmed: true });
    assert.deepEqual(prepared('--json'), { ...none, json: true });
    assert.deepEqual(prepared('--format', 'json'), { ...none, json: true });
    assert.deepEqual(prepared('--format', 'text'), none);
  });

  it('takes files of groups for dumps as well, and no value of another option', () => {
    assert.deepEqual(
      ANY.prepare(['a', '--with', 'b', 'c', '--without', 'd', '--depth', '3', '--profiles', 'p']).places,
      ['a', 'b', 'c', 'd'],
    );
    const first = command({
      ...ANY,
      options: OPTIONS,
      places: (names) => names.slice(1),
      run: () => ({ status: 0, json: {} }),
    });
    assert.deepEqual(first.prepare(['a', 'b', '--with', 'c']).places, ['b', 'c']);
  });

  it('hands all that it was called with to what it does', async () => {
    const [disk, halfPlans] = [{} as Call['disk'], () => []];
    const outcome = await ANY.prepare(['a', '--format', 'json', '--depth', '3', '--with', 'b']).run(disk, halfPlans);
    assert.deepEqual(outcome, { status: 0, json: {} });
    const {
      files,
      json,
      depth,
      with: group,
      write,
      disk: read,
      halfPlans: half,
    } = calls.at(-1) as Call<typeof OPTIONS>;
    assert.deepEqual([files, json, depth, group, write], [['a'], true, 3, ['b'], false]);
    assert.deepEqual([read === disk, half === halfPlans], [true, true]);
  });
});
