// When was it read? What a file says of that goes first, and shows where it is no reading after the backup.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { afterEach, describe, it } from 'mocha';
import { localTime } from '../../shared-core/src/base/index.js';
import { type ClientSession, clientSession, until } from '../support/clientSession.js';

const NAMES = ['rear-body.cfgdump', 'rear-body.as-found.cfgdump', 'rear-body.dump-profile.json'];
const [DUMP = ''] = NAMES;
const FILES = Object.fromEntries(NAMES.map((name) => [name, readFileSync(`examples/trailer-socket/${name}`, 'utf8')]));
const LINES = (FILES[DUMP] ?? '').replace(/^[#@].*\n/gm, '');
const [BACKUP = '', WITH_ROW] = ['rear-body.as-found.cfgdump', '# read 2026-03-02 09:14\n'];

describe('the time of a read-back', () => {
  let session: ClientSession;
  afterEach(() => session.stop());

  /** What was offered and told for a file of this text and name that was saved at a time, by the backup as it is. */
  const asked = async (
    { name = 'read.txt', text = '', saved }: { name?: string; text?: string; saved?: Date },
    { row = '', type }: { row?: string; type?: string } = {},
  ) => {
    session = await clientSession({ ...FILES, [BACKUP]: `${FILES[BACKUP]}${row}` });
    const from = `file:///stick/${name}`;
    session.editor.files.set(from, new TextEncoder().encode(`${text}${LINES}`));
    if (saved !== undefined) session.editor.times.set(from, saved.getTime());
    session.editor.person.pick = ({ items }) =>
      items.some(({ label }) => label === 'Choose a file…') ? ['Choose a file…'] : undefined;
    session.editor.person.file = () => from;
    let offered = '';
    session.editor.person.write = (_title, value) => {
      offered = value;
      return type ?? value;
    };
    await session.run('_jobStep', { does: 'bringBack', uri: `file:///cars/${DUMP}`, other: null });
    const prompt = session.editor.in('prompt').at(-1) ?? '';
    return {
      offered,
      prompt,
      verdict: session.editor.in('verdict').at(-1) ?? '',
      warned: () => session.editor.in('warning'),
    };
  };
  const EARLY =
    /^Row 1 of the dump says 2026-03-01 10:00, which is not after rear-body\.as-found\.cfgdump \(2026-03-02 09:14\): it does not count as read back\./;

  it('is that of its row, which says so where it is not after that of the backup', async () => {
    const { offered, prompt, verdict, warned } = await asked({ text: '# read 2026-03-01 10:00\n' }, { row: WITH_ROW });
    assert.equal(offered, '2026-03-01 10:00');
    assert.match(prompt, EARLY);
    assert.match(verdict, EARLY);
    await until(() => warned().some((said) => EARLY.test(said)));
  });

  it('does not count by what somebody writes who sees that row', async () => {
    const { verdict, warned } = await asked(
      { text: '# read 2026-03-01 10:00\n' },
      { row: WITH_ROW, type: '2026-03-04 10:00' },
    );
    assert.match(verdict, EARLY);
    await until(() => warned().some((said) => EARLY.test(said)));
  });

  it('is that of a row after the backup, with no more to say', async () => {
    const { offered, prompt, warned } = await asked({ text: '# read 2026-03-04 10:00\n' }, { row: WITH_ROW });
    assert.equal(offered, '2026-03-04 10:00');
    assert.match(prompt, /^Row 1 of the dump says this time\. Day and time/);
    assert.deepEqual(warned(), []);
  });

  it('is that of the name, else that at which it was saved, also where this is before the backup', async () => {
    const named = await asked({ name: 'read-2026-02-28-1530.txt', saved: new Date(2026, 2, 4, 10, 0) });
    assert.equal(named.offered, '2026-02-28 15:30');
    assert.match(
      named.prompt,
      /^The name of the file says this time\. rear-body\.as-found\.cfgdump was read at .*: what was read before that does not count/,
    );
    await session.stop();
    const saved = new Date(2026, 1, 27, 15, 30);
    const old = await asked({ saved });
    assert.equal(old.offered, localTime(saved, true));
    assert.match(old.prompt, /^The file was last saved at this time\. rear-body\.as-found\.cfgdump was read at /);
    assert.match(old.verdict, /^rear-body\.as-found\.cfgdump was read at /);
  });
});
