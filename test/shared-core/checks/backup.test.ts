import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { restore } from '../../../shared-core/src/actions/index.js';
import { say } from '../../../shared-core/src/base/index.js';
import type { BackupStatus } from '../../../shared-core/src/checks/backup.js';
import { backupDump, checkDump, type Problem } from '../../../shared-core/src/checks/index.js';
import { bindText, type Dump } from '../../../shared-core/src/model/index.js';
import { sealOf } from '../../../shared-core/src/model/seal.js';
import type { Profile } from '../../../shared-core/src/profile/index.js';
import { demoDump } from '../../support/demo.js';
import { edited } from '../../support/edits.js';
import { loaded, SOUND } from '../../support/loaded.js';
import { END, IMAGE, IMAGE_RECORDS, image, LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

describe('the backup that balance is counted from', () => {
  const dump = demoDump('rear-body.cfgdump');
  const backup = demoDump('rear-body.as-found.cfgdump');

  it('is the one that the dump names', () => {
    assert.equal(backupDump(dump, { kind: 'read', dump: backup }), backup);
  });

  it('is none where that is of another vehicle, part or software level, or the dump itself', () => {
    for (const [here, there] of [
      ['@vin 0DEM0T4X5TA020418', '@vin 0DEM0T4X3TA020417'],
      ['@part RB-2041-07', '@part RB-2041-09'],
      ['@software 0311', '@software 0299'],
    ] as const) {
      const other = edited(backup, (text) => text.replace(here, there));
      assert.notDeepEqual(other.rows, backup.rows);
      assert.equal(backupDump(dump, { kind: 'read', dump: other }), undefined, there);
    }
    assert.equal(backupDump(dump, { kind: 'itself' }), undefined);
    assert.equal(backupDump(dump, { kind: 'none' }), undefined);
  });
});

describe('a backup that does not say what the dump says of its module', () => {
  const profile = profileOf(LINES);
  const head = '@backup old.cfgdump\n@vin 0DEM0T4X5TA020418\n@part RB-2041-07\n';
  const dump = lines(profile, head + LINES_TEXT.replace('A1 B2 C3 | 16', 'A1 B3 C2 | 16'));
  const sealed = (headers: string) =>
    lines(profile, `@seal ${sealOf(lines(profile, LINES_TEXT))}\n${headers}${LINES_TEXT}`);
  const restored = (backup: Dump) =>
    restore({ dump, profile: SOUND, backup: { kind: 'read', dump: backup }, modules: () => [] });

  it('lifts no lock: what is missing is said, and what to do', () => {
    for (const [headers, missing] of [
      ['', /has no "@vin", "@part", and this dump has/],
      ['@part rb-2041-07\n', /has no "@vin", and this dump has/],
    ] as const) {
      const result = restored(sealed(headers));
      assert.ok(!result.ok);
      assert.match(say(result.why), /^Byte 2 of line 1 is locked \(identity\)/);
      assert.match(say(result.why), missing);
      assert.match(say(result.why), /add the missing header to the backup; its seal stays whole\.$/);
    }
    assert.ok(restored(sealed('@vin 0DEM0T4X5TA020418\n@part RB-2041-07\n')).ok);
  });

  it('is compared all the same, and a problem says what is missing', () => {
    const found = checkDump(loaded(dump, SOUND, { kind: 'read', dump: sealed('') }));
    assert.deepEqual(
      found.map(({ code, row }) => [code, row]).filter(([code]) => code !== 'header-unknown'),
      [
        ['backup-unconfirmed', 0],
        ['locked-changed', 3],
        ['locked-changed', 3],
      ],
    );
    assert.equal(backupDump(dump, { kind: 'read', dump: sealed('') }), undefined);
  });

  it('gives back what is not locked, with a caution before', () => {
    const fog = lines(profile, head + LINES_TEXT.replace('01 10 00 | 11', '00 10 01 | 11'));
    const subject = { dump: fog, profile: SOUND, modules: () => [] };
    const result = restore({ ...subject, backup: { kind: 'read', dump: sealed('') } });
    assert.ok(result.ok);
    assert.match(result.value.cautions.map((one) => say(one)).join(), /has no "@vin", "@part"/);
  });
});

const PROFILE = profileOf(LINES);
const FILE = 'file:///car/old.cfgdump';

const problemsWith = (dump: Dump, backup: BackupStatus) => checkDump(loaded(dump, SOUND, backup));
const against = (dump: Dump, backup: Dump): readonly Problem[] =>
  problemsWith(dump, { kind: 'read', dump: backup, file: FILE });

describe('a backup is no way back', () => {
  const dump = lines(PROFILE, `@backup old.cfgdump\n${LINES_TEXT}`);
  const sealed = `@seal ${sealOf(lines(PROFILE, LINES_TEXT))}\n${LINES_TEXT}`;

  it('unless it is whole and all its sums are right, sealed or not', () => {
    for (const text of [LINES_TEXT, sealed]) assert.deepEqual(against(dump, lines(PROFILE, text)), []);
  });

  const unfit: readonly [what: string, text: string, why: RegExp, row: number | undefined][] = [
    ['with a broken seal', sealed.replace('A1 B2', 'A1 B3'), /seal of the backup is broken/, 0],
    ['without one record', '# nothing\n', /not whole: it holds no data that can be read/, undefined],
    [
      'with a row that cannot be read',
      LINES_TEXT.replace('00 00 00 |', '00 00 0x |'),
      /not whole: row 3 cannot be read/,
      2,
    ],
    [
      'with a line that is too short',
      LINES_TEXT.replace('01 10 00 | 11', '01 10 11'),
      /not whole: line 2 is too long/,
      1,
    ],
    ['with a missing line', LINES_TEXT.replace(/^3:.*\n/m, ''), /not whole: line 3 is missing/, undefined],
    ['with a line that is there twice', `${LINES_TEXT}3: 00 00 00 | 00\n`, /not whole: line 3 is in it twice/, 4],
    ['without its file sum', LINES_TEXT.replace(/^total.*\n/m, ''), /not whole: the file sum is missing/, undefined],
    ['with a wrong line sum', LINES_TEXT.replace('| 11', '| 12'), /not sound: 1 of its line sums are wrong/, 1],
    ['that is only to compare with', `@use comparison\n${sealed}`, /^The backup is only here to compare with/, 0],
    [
      'that is of none of the modules here',
      `@use another-module\n${sealed}`,
      /^The backup is of none of the modules/,
      0,
    ],
    [
      'that does not say clearly what it is for',
      `@use comparision\n${sealed}`,
      /not whole: row 1: "@use comparision"/,
      0,
    ],
    ['that says nothing of what it is for', `${sealed}@use\n`, /not whole: row 6: "@use" does not say/, 5],
    ['with a wrong file sum', LINES_TEXT.replace('02 27', '02 28'), /not sound: its file sum is wrong/, 3],
  ];
  for (const [what, text, why, row] of unfit) {
    it(what, () => {
      assert.notEqual(text, LINES_TEXT);
      const found = against(dump, lines(PROFILE, text));
      assert.deepEqual(
        found.map(({ code, severity, row: at }) => [code, severity, at]),
        [['backup-invalid', 'error', 0]],
      );
      assert.match(say(found[0]?.message ?? { pattern: '', parts: [] }), why);
      // What is missing has no place in the backup.
      const related = row === undefined ? [undefined, undefined] : [FILE, row];
      assert.deepEqual([found[0]?.related?.file, found[0]?.related?.span.row], related);
    });
  }

  it('with a sum that cannot be checked, as it covers nothing', () => {
    const nothing = profileOf({ totals: [{ name: 'empty sum', method: 'crc', model: 'CRC-8/ROHC', lines: '5-6' }] });
    const text = '1: 00\ntotal: FF\n';
    const found = against(lines(nothing, `@backup old.cfgdump\n${text}`), lines(nothing, text));
    assert.ok(found.some(({ message }) => /its empty sum cannot be checked/.test(say(message))));
  });

  it('of another module: which header differs is said, and where in the backup it is', () => {
    const [here, there] = [
      lines(PROFILE, `@backup b\n@part A\n${LINES_TEXT}`),
      lines(PROFILE, `${LINES_TEXT}@part  B\n`),
    ];
    const [problem, ...more] = against(here, there);
    assert.deepEqual([problem?.code, problem?.row, more.length], ['backup-other-vehicle', 0, 0]);
    assert.match(say(problem?.message ?? { pattern: '', parts: [] }), /"@part" is "B" there and "A" here/);
    assert.deepEqual(problem?.related?.span, { row: 4, start: 7, end: 8 });
    assert.equal(problemsWith(here, { kind: 'read', dump: there })[0]?.related, undefined);
  });

  it('of an image with a gap, without an end record, or with data that overlap', () => {
    const profile = profileOf(IMAGE);
    const dump = image(profile, '; @backup old.hex', ...IMAGE_RECORDS, END);
    assert.deepEqual(against(dump, image(profile, ...IMAGE_RECORDS, END)), []);
    for (const [records, why] of [
      [[...IMAGE_RECORDS.slice(1), END], /not whole: address 0010–0013 is missing/],
      [IMAGE_RECORDS, /not whole: row 3: The end record .* is missing/],
      [[...IMAGE_RECORDS, IMAGE_RECORDS[0], END], /not whole: row 4: Address 0010 is held by/],
    ] as const) {
      const [problem] = against(dump, image(profile, ...records));
      assert.equal(problem?.code, 'backup-invalid');
      assert.match(say(problem.message), why);
    }
  });
});

describe('locked and security bytes', () => {
  const open = lines(PROFILE, LINES_TEXT);
  const backup = lines(PROFILE, `@seal ${sealOf(open)}\n${LINES_TEXT}`);
  const said = (text: string, profile: Profile = PROFILE, old: Dump = backup) =>
    against(lines(profile, `@backup old.cfgdump\n${text}`), old)
      .filter(({ code }) => code === 'locked-changed' || code === 'security-changed' || code === 'not-checked')
      .map(({ code, row, expected, found, message }) => [code, row, expected, found, say(message)]);

  it('that are not as in the backup are errors, byte by byte', () => {
    assert.deepEqual(said(LINES_TEXT.replace('A1 B2 C3 | 16', 'A1 B3 C4 | 18')).slice(0, 2), [
      [
        'locked-changed',
        1,
        'B2',
        'B3',
        'Byte 2 of line 1 is locked (identity): it was B2 in the backup and is B3 now. Restore it.',
      ],
      [
        'locked-changed',
        1,
        'C3',
        'C4',
        'Byte 3 of line 1 is locked (identity): it was C3 in the backup and is C4 now. Restore it.',
      ],
    ]);
    const [security] = said(LINES_TEXT.replace('01 10 00 | 11', '01 00 00 | 01'));
    assert.deepEqual(security, [
      'security-changed',
      2,
      '10',
      '00',
      'Byte 2 of line 2 holds "Immobiliser", which concerns the security of the vehicle: it was 10 in the backup and is 00 now. Do not write this dump. Restore it.',
    ]);
  });

  it('are not said to come back from a backup that is not sealed', () => {
    const by =
      'The backup is not sealed, so no command takes the byte back: correct it by hand, or read the module again.';
    for (const [from, to] of [
      ['A1 B2 C3 | 16', 'A1 B3 C3 | 17'],
      ['A1 B2', 'A1 Bx'],
      ['01 10 00 | 11', '01 00 00 | 01'],
    ] as const)
      assert.ok(String(said(LINES_TEXT.replace(from, to), PROFILE, open)[0]?.[4]).endsWith(by), to);
  });

  it('are compared by the bits of a security option alone', () => {
    assert.deepEqual(said(LINES_TEXT.replace('01 10 00 | 11', '01 1F 00 | 20').replace('02 27', '02 36')), []);
  });

  it('are compared one by one where others of their place are missing', () => {
    const changed = said(LINES_TEXT.replace('A1 B2 C3 | 16', 'A2 B2'));
    assert.deepEqual(
      changed.map(([code, row, expected, found]) => [code, row, expected, found]),
      [
        ['locked-changed', 1, undefined, undefined],
        ['locked-changed', 1, 'A1', 'A2'],
        ['not-checked', 4, undefined, undefined],
      ],
    );
    assert.match(
      String(changed[0]?.[4]),
      /^Byte 3 of line 1 is locked \(identity\) and cannot be read here; the backup holds C3/,
    );
  });

  it('are named where their whole line is missing or cannot be read', () => {
    const [gone] = said(LINES_TEXT.replace(/^1:.*\n/m, ''));
    assert.deepEqual(gone?.slice(0, 2), ['locked-changed', 0]);
    assert.match(String(gone?.[4]), /the backup holds A1 B2 C3/);
    const [torn] = said(LINES_TEXT.replace('A1 B2', 'A1 Bx'));
    assert.deepEqual(torn?.slice(0, 2), ['locked-changed', 1]);
    const unread = said(LINES_TEXT.replace('01 10 00', '01 1x 00'));
    assert.ok(unread.some(([code]) => code === 'security-changed'));
  });

  it('of an image are compared by address, also where it lacks some', () => {
    const profile = profileOf(IMAGE);
    const old = image(profile, ...IMAGE_RECORDS, END);
    const codesOf = (...records: readonly string[]) =>
      against(image(profile, '; @backup old.hex', ...records, END), old).map(
        ({ code, message }) => `${code} ${say(message).slice(0, 22)}`,
      );
    const [, second, third] = IMAGE_RECORDS;
    assert.deepEqual(
      codesOf(':02001000A2B299', ':0100130001EB', second, third).filter((one) => one.startsWith('locked')),
      ['locked-changed Address 0012 is locked', 'locked-changed Address 0010 is locked'],
    );
  });

  it('that the backup does not have are said to be unknown', () => {
    const bare = profileOf({ locked: LINES.locked });
    const found = said('1: A1 B2 C3\n', bare, lines(bare, '1: A1 B2\n'));
    assert.deepEqual(
      found.map(([code, , , , message]) => [code, message]),
      [['not-checked', 'Byte 3 of line 1 is not in the backup, so nobody can tell whether it was changed.']],
    );
  });

  it('that are the first of their place and not in the backup as well', () => {
    const bare = profileOf({ locked: [{ line: 1, byte: 3, why: 'identity' }] });
    assert.deepEqual(
      said('1: A1 B2 C3\n', bare, lines(bare, '1: A1 B2\n')).map(([code]) => code),
      ['not-checked'],
    );
  });

  it('that neither of both has are not said to have changed, and what is missing is named byte by byte', () => {
    const bare = profileOf({ locked: LINES.locked });
    const backup = lines(bare, '1: A1 B2\n');
    const changed = (text: string) => said(text, bare, backup).filter(([code]) => code === 'locked-changed');
    const unread = said('1: A1 B2\n', bare, backup).map(([code, , , , message]) => `${code}: ${message}`);
    assert.deepEqual(unread, [
      'not-checked: Byte 1–3 of line 1 is not in this dump, so what is locked there (identity) was not checked.',
    ]);
    const [gone, ...more] = changed('1: A1\n');
    assert.deepEqual([gone?.slice(0, 2), more.length], [['locked-changed', 1], 0]);
    assert.match(String(gone?.[4]), /^Byte 2 of line 1 is locked .*the backup holds B2\. /);
  });

  it('are others than those that change by themselves in the module', () => {
    const counter = profileOf({ lines: { ...LINES.lines, sum: 0 }, volatile: [{ line: 3, byte: 1, why: 'counter' }] });
    const text = '1: 01 02 03\n2: 04 05 06\n3: 07 08 09\n';
    assert.deepEqual(said(text.replace('07', '08'), counter, lines(counter, text)), []);
  });

  it('are not compared with what is no backup', () => {
    const dump = lines(PROFILE, `@backup old.cfgdump\n${LINES_TEXT}`);
    for (const [status, code] of [
      [{ kind: 'none' }, undefined],
      [{ kind: 'itself' }, 'backup-invalid'],
      [{ kind: 'unreadable', why: { pattern: 'gone', parts: [] } }, 'backup-unreadable'],
    ] as const)
      assert.deepEqual(
        problemsWith(dump, status).map((one) => one.code),
        code === undefined ? [] : [code],
      );
  });
});

describe('a seal that does not hold', () => {
  const right = sealOf(lines(PROFILE, LINES_TEXT));
  const wrong = `sha256:${'0'.repeat(64)}`;
  const found = (head: string) =>
    checkDump(loaded(lines(PROFILE, head + LINES_TEXT), SOUND))
      .filter(({ code }) => code === 'seal-broken')
      .map(({ row, message }) => `${row} ${say(message).slice(0, 31)}`);

  for (const [what, head, says] of [
    ['is broken where it is of other records', `@seal ${wrong}\n`, '0 The seal is broken: records of '],
    [
      'is the second where both are of the usual form',
      `@seal ${right}\n@seal ${wrong}\n`,
      '1 The seal is broken: records of ',
    ],
    ['is of a form that nobody knows', `@seal ${right.slice(0, -1)}\n`, '0 This seal is not of a form know'],
    [
      'is of a form that nobody knows, before or behind another',
      `@seal md5:00\n@seal ${right}\n`,
      '0 This seal is not of a form know',
    ],
    [
      'is of a form that nobody knows, behind another',
      `@seal ${right}\n@seal x${right}\n`,
      '1 This seal is not of a form know',
    ],
    ['is spelled otherwise, whatever it says', `@vin A\n@Seal ${right}\n`, '1 A seal is written "@seal". Spel'],
    ['is spelled otherwise, behind another', `@seal ${right}\n@SEAL ${right}\n`, '1 A seal is written "@seal". Spel'],
  ] as const)
    it(what, () => assert.deepEqual(found(head), [says]));

  it('is none that holds, also in capitals, and none that is not there', () => {
    for (const head of ['', `@seal ${right}\n`, `@seal sha256:${right.slice(7).toUpperCase()}\n`])
      assert.deepEqual(found(head), []);
  });
});

describe('the module that a profile is for', () => {
  const profile = { ...PROFILE, appliesTo: { part: ['RB-20??-*'], software: ['03*'] } };
  const said = (head: string) =>
    checkDump(loaded(lines(profile, `${head}${LINES_TEXT}`), SOUND)).map(({ code, severity, row }) => [
      code,
      severity,
      row,
    ]);

  it('is the one that the headers name', () => {
    assert.deepEqual(said('@part RB-2041-07\n@software 0311\n'), []);
  });

  it('is another where a header does not match: an error there', () => {
    assert.deepEqual(said('@software 0311\n@part RB-3041-07\n'), [['profile-other-module', 'error', 1]]);
    assert.deepEqual(said('@software 0411\n'), [['profile-other-module', 'error', 0]]);
  });

  it('is not confirmed where a header is missing: a warning at the profile', () => {
    assert.deepEqual(said('@part RB-2041-07\n'), [['profile-unconfirmed', 'warning', 0]]);
    assert.deepEqual(said('# x\n@profile p.json\n@part RB-2041-07\n'), [['profile-unconfirmed', 'warning', 1]]);
    assert.deepEqual(checkDump(loaded(bindText('a.cfgdump', LINES_TEXT, PROFILE), SOUND)), []);
  });

  it('is confirmed by a line that any editor can write', () => {
    const [problem] = checkDump(loaded(lines(profile, `@part RB-2041-07\n${LINES_TEXT}`), SOUND));
    assert.match(say(problem?.message ?? { pattern: '', parts: [] }), /Add the line "@software …"/);
  });
});
