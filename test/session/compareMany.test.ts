import assert from 'node:assert/strict';
import { afterEach, beforeEach, describe, it } from 'mocha';
import type { Refusal } from '../../shared-core/src/protocol/common.js';
import { COMPARE_MANY, type CompareManyResult } from '../../shared-core/src/protocol/compare.js';
import { type ServerSession, serverSession } from '../support/serverSession.js';

const PROFILE = JSON.stringify({
  format: 1,
  lines: { from: 1, to: 2, data: 2, sum: 1 },
  lineSum: { method: 'add', over: ['data'] },
  options: [{ id: 'fog', title: 'Fog lamps', line: 2, byte: 1, bits: '3-0', values: { 0: 'no', 1: 'yes' } }],
});
const HEAD = '@profile lamps.dump-profile.json\n@part LA-1\n';
const PLAIN = `${HEAD}1: 01 02 | 03\n2: 00 04 | 04\n`;
const SET = `${HEAD}1: 01 02 | 03\n2: 01 05 | 06\n`;

describe('Many dumps in one table', () => {
  let session: ServerSession;
  beforeEach(async () => {
    session = await serverSession();
    session.files.set('file:///cars/lamps.dump-profile.json', PROFILE);
  });
  afterEach(() => session.close());

  const put = (name: string, text: string) => {
    const uri = `file:///cars/${name}.cfgdump`;
    session.files.set(uri, text);
    return uri;
  };
  const compared = async ([uri, ...others]: readonly string[]) => {
    const answer: CompareManyResult | Refusal = await session.connection.sendRequest(COMPARE_MANY, { uri, others });
    assert.ok(!('refused' in answer), 'refused' in answer ? answer.refused : '');
    return answer;
  };

  it('have a value for each dump, and each value has its place in its dump', async () => {
    const { rows, files } = await compared([put('a', PLAIN), put('b', SET), put('c', `\n${SET}`)]);
    assert.deepEqual(
      rows.map(({ title, cells }) => [title, ...cells.map(({ text }) => text)]),
      [
        ['Fog lamps', 'no', 'yes', 'yes'],
        ['Line 2, byte 2', '04', '05', '05'],
      ],
    );
    assert.deepEqual(
      rows.map(({ cells }) => cells.map(({ range }) => range?.start)),
      [[3, 3, 4].map((line) => ({ line, character: 4 })), [3, 3, 4].map((line) => ({ line, character: 6 }))],
    );
    assert.deepEqual(
      files.map(({ name, why }) => [name, why]),
      [
        ['a.cfgdump', null],
        ['b.cfgdump', null],
        ['c.cfgdump', null],
      ],
    );
  });

  it('are the same where they are, and one that is chosen twice is there once', async () => {
    const { rows, says, files } = await compared([put('a', PLAIN), put('b', PLAIN), put('a', PLAIN)]);
    assert.deepEqual([rows, says, files.length], [[], ['All 2 are the same, byte for byte.'], 2]);
  });

  it('one that cannot be read or is of another module is told at its place, and then nothing is called the same', async () => {
    const other = put('d', PLAIN.replace('LA-1', 'ZZ-9'));
    const { files, columns, says } = await compared([
      put('a', PLAIN),
      put('b', PLAIN),
      'file:///cars/gone.cfgdump',
      other,
    ]);
    assert.deepEqual(columns, [0, 1]);
    assert.match(files[2]?.why ?? '', /gone.cfgdump cannot be read/);
    assert.match(files[3]?.why ?? '', /a.cfgdump and d.cfgdump: These dumps are of two/);
    assert.deepEqual(says, [
      'No difference was found, but not everything could be compared. So nothing is known to be the same.',
    ]);
  });

  it('a dump in another form, or one that is cut off, is not the same as any other', async () => {
    const image = 'file:///cars/small.hex';
    session.files.set(image, ':0400000001020304F2\n:00000001FF\n');
    for (const odd of [image, put('cut', `${HEAD}1: 01 02 | 03\n`), put('empty', '')]) {
      const { says } = await compared([put('a', PLAIN), put('b', PLAIN), odd]);
      assert.ok(!says.some((one) => one.startsWith('All')), odd);
      assert.ok(says.length > 0, odd);
    }
  });

  it('where the first cannot be read, the others are compared all the same; a single one with nothing', async () => {
    const all = await compared(['file:///cars/gone.cfgdump', put('a', PLAIN), put('b', SET)]);
    assert.deepEqual([all.columns, all.rows.length], [[1, 2], 2]);
    const { rows, says } = await compared([put('a', PLAIN), 'file:///cars/gone.cfgdump']);
    assert.deepEqual(rows, []);
    assert.deepEqual(says, ['Fewer than two of these dumps can be compared. Choose others of the same module.']);
  });

  it('too many are refused', async () => {
    const others = Array.from({ length: 200 }, (_, i) => `file:///cars/${i}.cfgdump`);
    const answer: Refusal = await session.connection.sendRequest(COMPARE_MANY, { uri: put('a', PLAIN), others });
    assert.match(answer.refused, /^201 dumps are too many/);
  });
});
