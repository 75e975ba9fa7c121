import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { serverSession } from '../support/serverSession.js';

const FOLDER = 'file:///any/';
const PROFILE = {
  format: 1,
  lines: { from: 1, to: 3, data: 3, sum: 1 },
  lineSum: { method: 'xor', over: ['label', 'data'] },
  copies: [{ name: 'block', lines: '1', at: [2, 3], agree: 'majority' }],
  options: [{ id: 'fog', title: 'Fog lamps', line: 1, byte: 1, values: { 16: 'no', 17: 'yes' } }],
};
const TEXT = '@profile p.dump-profile.json\n1: 10 20 30 | 01\n2: 10 20 30 | 02\n3: 10 20 30 | 03\n';

describe('copies in the editor', () => {
  it('are told in the hover, set together, and taken from each other', async () => {
    const session = await serverSession(undefined, { commands: true });
    session.files.set(`${FOLDER}p.dump-profile.json`, JSON.stringify(PROFILE));
    const uri = `${FOLDER}a.cfgdump`;
    await session.open(uri, TEXT);
    const told = JSON.stringify(await session.hover(uri, 2, 3));
    assert.match(told, /Copied in .*block.*Byte 1 of line 1 \(`10`\), Byte 1 of line 3 \(`10`\)/);
    assert.doesNotMatch(told, /do not agree/);
    const set = (await session.actions(uri, 1, 3)).find(({ title }) => title.startsWith('Set Fog lamps to yes'));
    assert.ok(set);
    assert.equal(
      session.after(uri, set),
      TEXT.replace(/: 10 (.*)0(\d)/g, ': 11 $10$2')
        .replace('01\n', '00\n')
        .replace('02\n', '03\n')
        .replace(/03\n$/, '02\n'),
    );
    const torn = `${FOLDER}b.cfgdump`;
    await session.open(torn, TEXT.replace('3: 10 20', '3: 10 21'));
    assert.match(JSON.stringify(await session.hover(torn, 1, 6)), /The copies do not agree/);
    const problem = (await session.diagnostics(torn)).find(({ code }) => code === 'copy-differs');
    assert.deepEqual(problem?.range, { start: { line: 3, character: 6 }, end: { line: 3, character: 8 } });
    const take = (await session.actions(torn, 3, 6)).find(({ title }) => title.startsWith('Take from the other copy'));
    assert.equal(take?.title, 'Take from the other copy: 21 to 20 (Byte 2 of line 1) ⚠ row 4 may be damaged');
    assert.equal(session.after(torn, take), TEXT);
    session.close();
  });
});
