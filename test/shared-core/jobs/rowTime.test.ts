// A row of a dump that says when it was read is evidence, whatever its "@taken" says.
// Common practice, no published source: only what was read from the module after its backup tells of what was written.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { phrase, say } from '../../../shared-core/src/base/index.js';
import { writtenOf } from '../../../shared-core/src/jobs/record/changes.js';
import { whyNoLaterReading } from '../../../shared-core/src/jobs/record/laterReading.js';
import { isLater, type RecordedDump, recorded } from '../../../shared-core/src/jobs/record/timeline.js';
import { verifyReadBack } from '../../../shared-core/src/jobs/verify/verify.js';
import { BACK, cardOf, DONE, FOUND, next, PLANNED, stepsIn } from '../../support/jobFolder.js';
import { LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

const read = (name: string, head: string) => ({ name, dump: lines(profileOf(LINES), `${head}${LINES_TEXT}`) });
const [TAKEN, LATER] = ['@taken 2026-03-02T09:14:00Z\n', '@taken 2026-03-04T11:00:00Z\n'];
const why = (head: string, backup: string) => {
  const said = whyNoLaterReading(read('r', head), read('b', backup));
  return said === undefined ? '' : say(said);
};

describe('the row of a reading that says when it was read', () => {
  it('shows that it was not read after the backup, by the row of that', () => {
    const backup = `${TAKEN}# read 2026-03-02 10:14\n`;
    assert.equal(why(`${LATER}# read 2026-03-04 12:00\n`, backup), '');
    assert.equal(why(LATER, backup), '');
    for (const time of ['2026-03-01 12:00', '2026-03-02 10:14', '2026-03-01', '1.3.2026 12:00'])
      assert.match(
        why(`${LATER}# read ${time}\n`, backup),
        /^r was not read after b \(2026-03-02 10:14\): its row 2 says /,
      );
    // Both may show a clock that is set to any year.
    assert.equal(why(`${LATER}# read 2015-01-01 00:09\n`, `${TAKEN}# read 2015-01-01 00:02\n`), '');
    assert.match(
      why(`${LATER}# read 2015-01-01 00:02\n`, `${TAKEN}# read 2015-01-01 00:02\n`),
      /^r was not read after/,
    );
    // A day alone tells nothing of two readings on it.
    assert.equal(why(`${LATER}# read 2026-03-02\n`, `${TAKEN}# read 2026-03-02\n`), '');
  });

  it('shows it by the "@taken" of a backup without such a row', () => {
    assert.equal(
      why(`${LATER}# read 2026-02-27 10:00\n`, TAKEN),
      'r was not read after b (2026-03-02 09:14 UTC): its row 2 says 2026-02-27 10:00. Read the module again, or correct that row if it is wrong.',
    );
    assert.equal(why(`${LATER}# read 2026-03-04 10:00\n`, TAKEN), '');
  });

  it('is none that may be of anything else, such as when a software was made', () => {
    const made = '# Software of 2025-01-02 10:00\n';
    assert.equal(why(`${LATER}${made}`, `${TAKEN}${made}`), '');
    assert.equal(why(`${LATER}${made}`, TAKEN), '');
    // Where the backup was dated by such a row, it says when that was read.
    const bench = '# Bench 2026-03-02 10:14\n';
    assert.match(why(`${LATER}${bench}`, `${TAKEN}${bench}`), /^r was not read after b/);
  });

  it('proves nothing where it is not understood, and is that of the backup where it is the very same', () => {
    const row = '# read 03/04/2026\n';
    assert.match(
      why(`${LATER}${row}`, `${TAKEN}${row}`),
      /^r was not read after b .*: its row 2 says # read 03\/04\/2026/,
    );
    for (const backup of [TAKEN, `${TAKEN}# read 02/04/2026\n`])
      assert.match(
        why(`${LATER}${row}`, backup),
        /^r: Row 2 may say when it was read, in a way that is not understood/,
      );
    const [plan, found] = [read('p', '@backup b\n').dump, read('b', TAKEN).dump];
    for (const head of [`${LATER}${row}`, row]) {
      const { isProof, matches, unmatched } = verifyReadBack(plan, read('r', head).dump, found);
      assert.deepEqual([isProof, matches], [false, false], head);
      assert.match(unmatched.map((one) => say(one)).join(), /^What was read: Row \d may say when it was read/);
    }
  });

  it('is the earliest of several, against the latest of the backup', () => {
    const backup = `${TAKEN}# read 2026-03-02 10:14\n# read 2026-03-01 10:00\n`;
    for (const rows of [
      '# read 2026-03-04 12:00\n# read 2026-03-02 10:00\n',
      '# read 2026-03-02 10:00\n# read 2026-03-04 12:00\n',
      '# printed 2026-03-04 12:00, read 2026-03-02 10:00\n',
    ])
      assert.match(why(`${LATER}${rows}`, backup), /its row \d says 2026-03-02 10:00/, rows);
    assert.equal(why(`${LATER}# read 2026-03-04 12:00\n# read 2026-03-03 10:00\n`, backup), '');
  });

  it('proves nothing where it is in the future, and counts in any year', () => {
    const now = '2026-03-04T12:00:00Z';
    const whyNow = (row: string) => {
      const said = whyNoLaterReading(read('r', LATER + row), read('b', TAKEN), now);
      return said === undefined ? '' : say(said);
    };
    assert.match(whyNow('# read 2027-05-01 10:00\n'), /^r: Row 2 says 2027-05-01 10:00, which is in the future\./);
    assert.equal(whyNow('# read 2026-03-04 12:00\n'), '');
    const row = (time: string) => `# read 1999-11-28 ${time}\n`;
    assert.match(why(LATER + row('17:20'), TAKEN + row('17:30')), /^r was not read after b \(1999-11-28 17:30\)/);
    assert.match(why(LATER + row('17:30'), TAKEN + row('17:30')), /^r was not read after b/);
    assert.equal(why(LATER + row('17:40'), TAKEN + row('17:30')), '');
  });

  it('cannot be ordered in a minute of which only one of two says the second', () => {
    for (const [one, other] of [
      ['10:14', '10:14:30'],
      ['10:14:30', '10:14'],
    ])
      assert.match(
        why(`${LATER}# read 2026-03-02 ${one}\n`, `${TAKEN}# read 2026-03-02 ${other}\n`),
        /^r: Row 2 says 2026-03-02 10:14.*, which does not tell whether it was read after b\./,
      );
    const [early, late] = [
      '@taken 2026-03-02T09:14Z\n# read 2026-03-02 10:14:10\n',
      '@taken 2026-03-02T09:14:50Z\n# read 2026-03-02 10:14:50\n',
    ];
    assert.match(why(late, early), /which does not tell which of them was read later\.$/);
  });

  it('refuses what was read in a verification, dated or not', () => {
    const row = '# read 2026-03-02 10:14\n';
    const [plan, found] = [read('p', '@backup b\n').dump, read('b', `${TAKEN}${row}`).dump];
    for (const head of [`${LATER}${row}`, row, `${LATER}# read 2026-03-01 08:00\n`]) {
      const { isProof, matches, unmatched } = verifyReadBack(plan, read('r', head).dump, found);
      assert.deepEqual([isProof, matches], [false, false], head);
      assert.match(
        unmatched.map((one) => say(one)).join(),
        /^What was read was not read after the backup \(2026-03-02 10:14\): its row /,
      );
    }
    assert.ok(verifyReadBack(plan, read('r', `${LATER}# read 2026-03-04 12:00\n`).dump, found).isProof);
  });

  it('counts between two readings too', () => {
    const [one, other] = [
      read('a', `${LATER}# read 2026-03-04 12:00\n`),
      read('b', `${TAKEN}# read 2026-03-04 12:30\n`),
    ];
    assert.ok(!isLater(one, other) && !isLater(other, one));
  });

  it('keeps the steps of the job open, and is named', async () => {
    const row = (text: string, says: string) => text.replace(/^(?=[^@#\s])/m, `# read ${says}\n`);
    const [found, planned] = [FOUND, PLANNED].map((text) => row(text, '2026-03-02 09:14'));
    const folder = (back: string) => ({
      ...DONE,
      'x.job-card.md': cardOf([[found ?? '', planned ?? '']]),
      'rear-body.as-found.cfgdump': found ?? '',
      'rear-body.cfgdump': planned ?? '',
      'rear-body.read-back.cfgdump': row(BACK, back),
    });
    assert.equal((await stepsIn(folder('2026-03-02 11:02'))).filter((line) => !line.startsWith('done')).join(), '');
    assert.match(
      await next(folder('2026-03-01 10:00')),
      /^next readBack: rear-body\.read-back\.cfgdump was not read after rear-body\.as-found\.cfgdump \(2026-03-02 09:14\): its row \d+ says 2026-03-01 10:00\..*\[bringBack/,
    );
  });

  it('takes nothing from what other readings show, and is named in the record', () => {
    const [row, other] = [
      '# read 2026-03-02 10:14\n',
      LINES_TEXT.replace('01 10 00 | 11', '00 10 00 | 10').replace('02 27', '02 26'),
    ];
    const as = (name: string, head: string, text: string) => ({
      ...read(name, ''),
      dump: lines(profileOf(LINES), head + text),
      problems: [],
      unchecked: [],
    });
    const backup = as('b', `@seal x\n${TAKEN}${row}`, other);
    const of = (work: string, ...readings: readonly ReturnType<typeof as>[]) => {
      const dumps = recorded([backup, as('w', `@backup b\n${row}`, work), ...readings], '2026-04-01T00:00:00Z');
      return writtenOf(dumps.find(({ role }) => role === 'work') as RecordedDump, dumps);
    };
    const good = as('good', `@taken 2026-03-04T11:00:00Z\n# read 2026-03-04 12:00\n`, LINES_TEXT);
    const stale = (text: string) => as('stale', `@taken 2026-03-05T11:00:00Z\n${row}`, text);
    const open = of(LINES_TEXT, stale(LINES_TEXT));
    assert.match(
      say(open?.said ?? phrase('')),
      /^w is changed, and no reading here proves .* stale was not read after b \(2026-03-02 10:14\): its row /,
    );
    assert.deepEqual([of(LINES_TEXT, good)?.isOpen, of(LINES_TEXT, good, stale(LINES_TEXT))?.isOpen], [false, false]);
    assert.equal(of(LINES_TEXT, good, stale(other))?.isOpen, true, 'the row may be what is wrong');
    // Going back: the module holds what the last reading showed until a later one shows the backup.
    assert.equal(of(other, good, stale(other))?.back?.name, 'good');
    assert.equal(of(other, good, stale(other))?.isOpen, true);
    assert.match(
      say(of(other, good, stale(other))?.said ?? phrase('')),
      / stale was not read after b \(2026-03-02 10:14\)/,
    );
  });
});
