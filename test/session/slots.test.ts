import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { serverSession } from '../support/serverSession.js';

const FOLDER = 'file:///any/';
/** A record of two lines, in lines 1 and 2 or 3 and 4: its number, three bytes, and their exclusive or. */
const PROFILE = {
  format: 1,
  lines: { from: 1, to: 4, data: 3, sum: 1 },
  lineSum: { method: 'xor', over: ['label', 'data'] },
  slots: [
    { name: 'record', lines: ['1-2', '3-4'], sequence: { offset: 0 }, check: { method: 'xor', bits: 8, offset: 5 } },
  ],
  options: [{ id: 'fog', title: 'Fog lamps', slot: 'record', offset: 3, values: { 16: 'no', 17: 'yes' } }],
};

const line = (label: number, ...bytes: readonly number[]) => {
  const sum = bytes.reduce((all, byte) => all ^ byte, label);
  return `${label}: ${[...bytes, sum].map((byte) => byte.toString(16).padStart(2, '0').toUpperCase()).join(' ')}\n`;
};
const record = (first: number, number: number, fog: number, check = number ^ 0x22 ^ 0x33 ^ fog ^ 0x44) =>
  line(first, number, 0x22, 0x33) + line(first + 1, fog, 0x44, check);
const HEAD = '@profile p.dump-profile.json\n';

async function opened(text: string) {
  const session = await serverSession(undefined, { commands: true });
  session.files.set(`${FOLDER}p.dump-profile.json`, JSON.stringify(PROFILE));
  const uri = `${FOLDER}a.cfgdump`;
  await session.open(uri, text);
  return { session, uri };
}

describe('a record that moves, in the editor', () => {
  it('is told in the hover, and set in the slot in force with its check', async () => {
    const text = HEAD + record(1, 5, 0x10) + record(3, 6, 0x10);
    const { session, uri } = await opened(text);
    assert.deepEqual(
      (await session.diagnostics(uri)).map(({ code, severity }) => [code, severity]),
      [['slot-stale', 3]],
    );
    const told = JSON.stringify(await session.hover(uri, 4, 3));
    assert.match(told, /Fog lamps/);
    assert.match(told, /Byte 3 of slot 2 of .*record.*, record number 6: \*\*in force\*\*/);
    const older = JSON.stringify(await session.hover(uri, 2, 3));
    assert.doesNotMatch(older, /Fog lamps/);
    assert.match(older, /record number 5: an older one\. Slot 2 is in force/);
    const set = (await session.actions(uri, 4, 3)).find(({ title }) => title.startsWith('Set Fog lamps to yes'));
    assert.ok(set);
    assert.equal(session.after(uri, set), HEAD + record(1, 5, 0x10) + record(3, 6, 0x11));
    session.close();
  });

  it('is put in force again after a digit was typed into it', async () => {
    const right = 6 ^ 0x22 ^ 0x33 ^ 0x10 ^ 0x44;
    const { session, uri } = await opened(HEAD + record(1, 5, 0x10) + record(3, 6, 0x11, right));
    const [problem] = (await session.diagnostics(uri)).filter(({ code }) => code === 'slot-torn');
    assert.ok(problem);
    const { line: row, character } = problem.range.start;
    const fix = (await session.actions(uri, row, character)).find(({ title }) =>
      title.startsWith('Put slot 2 of "record" in force'),
    );
    assert.ok(fix);
    assert.equal(session.after(uri, fix), HEAD + record(1, 5, 0x10) + record(3, 6, 0x11));
    session.close();
  });

  it('is not set where nobody can tell which slot is in force', async () => {
    const { session, uri } = await opened(HEAD + record(1, 6, 0x10) + record(3, 6, 0x11));
    assert.deepEqual(
      (await session.diagnostics(uri)).map(({ code, severity }) => [code, severity]),
      [['slot-unclear', 1]],
    );
    assert.match(JSON.stringify(await session.hover(uri, 2, 3)), /Nobody can tell which slot is in force/);
    const titles = (await session.actions(uri, 2, 3))
      .filter(({ disabled }) => disabled === undefined)
      .map(({ title }) => title);
    assert.deepEqual(
      titles.filter((title) => title.startsWith('Set')),
      [],
    );
    session.close();
  });
});
