import assert from 'node:assert/strict';
import { createHash } from 'node:crypto';
import { describe, it } from 'mocha';
import { headersToAdd, placeForHeader } from '../../../shared-core/src/actions/backup.js';
import { backupCopy } from '../../../shared-core/src/actions/index.js';
import { textNaming } from '../../../shared-core/src/actions/nameProfile.js';
import { phrase, say } from '../../../shared-core/src/base/index.js';
import type { BackupStatus } from '../../../shared-core/src/checks/backup.js';
import { bindText, bindWithHeaders } from '../../../shared-core/src/model/index.js';
import { sealOf } from '../../../shared-core/src/model/seal.js';
import { EMPTY_PROFILE, readProfile } from '../../../shared-core/src/profile/index.js';
import { END, IMAGE, IMAGE_RECORDS, LINES, profileOf } from '../../support/smallDumps.js';

const WHOLE = ['1: 01 02 03 06', '2: 01 10 00 11', '3: 00 00 01 01', 'total: 00 18'];

describe('a backup', () => {
  const profile = profileOf(LINES);
  const made = (...lines: readonly string[]) => {
    const dump = bindText('x.cfgdump', `${lines.join('\n')}\n`, profile);
    const copy = backupCopy({ name: 'x.cfgdump', dump, profile: { kind: 'read' }, backup: { kind: 'none' } });
    return copy.ok ? 'sealed' : say(copy.why);
  };

  it('is made of a dump that was read whole and whose sums are right', () => {
    assert.equal(made(...WHOLE), 'sealed');
  });

  it('of a dump of another module leaves that header out, so that it is a way back', () => {
    const text = `@use another-module\n@part A\n${WHOLE.join('\n')}\n`;
    const dump = bindText('x.cfgdump', text, profile);
    const copy = backupCopy({ name: 'x.cfgdump', dump, profile: { kind: 'read' }, backup: { kind: 'none' } });
    assert.ok(copy.ok);
    assert.equal(copy.value.text, `@seal ${sealOf(dump)}\n@part A\n${WHOLE.join('\n')}\n`);
    assert.match(made('@use comparision', ...WHOLE), /does not say what the dump is here for/);
  });

  it('is not made of a dump that is only here to compare with: it would be a way back to another car', () => {
    assert.match(made('@use comparison', ...WHOLE), /only here to compare with/);
  });

  const [one = '', two = '', three = '', total = ''] = WHOLE;
  for (const [what, lines, words] of [
    ['that is empty', [], /holds no data/],
    ['of which a line is missing', [one, three, total], /not whole: line 2 is missing/],
    ['that has a line twice', [one, two, two, three, total], /not whole: line 2 is in it twice/],
    [
      'that has a line that is too short',
      [one, '2: 01 11 12', three, total],
      /not whole: line 2 is too long or too short/,
    ],
    ['of which a line cannot be read', [one, '2: 01 1X 00 11', three, total], /not whole: row 2 cannot be read/],
    ['of which the file sum is missing', [one, two, three], /not whole: the file sum is missing/],
    [
      'of which a line sum is wrong',
      [one, '2: 01 10 00 12', three, total],
      /sum of line 2 is wrong.*Read the module again/,
    ],
    [
      'of which the file sum is wrong',
      [one, two, three, 'total: 00 19'],
      /the file sum is wrong.*Read the module again/,
    ],
  ] as const)
    it(`is not made of a dump ${what}`, () => {
      assert.match(made(...lines), words);
    });
});

describe('a backup of a dump whose form nothing describes yet', () => {
  it('waits for its rule, and nothing need be read from the module again', () => {
    const text = 'Door module  stock 77\nL01  00 62 10  30\nL02  08 00 00  7A\nL03  10 08 CE  06\nSUM  304C\n';
    const dump = bindText('x.cfgdump', text, EMPTY_PROFILE);
    const copy = backupCopy({ name: 'x.cfgdump', dump, profile: { kind: 'none' }, backup: { kind: 'none' } });
    const why = copy.ok ? 'sealed' : say(copy.why);
    assert.match(why, /^No backup is made yet.*Run "Work Out the Checksum Rule" first\.$/);
    assert.doesNotMatch(why, /read .*again/i);
  });
});

describe('the file of a backup', () => {
  const profile = profileOf(LINES);
  const TEXT = `${WHOLE.join('\n')}\n`;
  const IMAGE_TEXT = [...IMAGE_RECORDS, END].join('\n');
  const copyOf = (name: string, text: string, backup: BackupStatus = { kind: 'none' }, by = profile) =>
    backupCopy({ name, dump: bindText(name, text, by), profile: { kind: 'read' }, backup });
  const made = (...given: Parameters<typeof copyOf>) => {
    const copy = copyOf(...given);
    assert.ok(copy.ok, copy.ok ? '' : say(copy.why));
    return copy.value;
  };
  const refused = (...given: Parameters<typeof copyOf>) => {
    const copy = copyOf(...given);
    return copy.ok ? '' : say(copy.why);
  };
  const gone = { kind: 'unreadable', why: phrase('gone') } as const;

  it('is not made of a sealed backup, nor where the dump has a backup, which is named', () => {
    const dump = bindText('x.cfgdump', TEXT, profile);
    assert.match(refused('x.cfgdump', `@seal ${sealOf(dump)}\n${TEXT}`), /is a sealed backup itself/);
    assert.match(
      refused('x.cfgdump', `@backup old.cfgdump\n${TEXT}`, { kind: 'read', dump }),
      /has a backup already: "old\.cfgdump"\. It is kept/,
    );
  });

  it('is the same text under a seal that holds, without the name of a backup that is gone', () => {
    const rest = `@profile p\n# a remark\n${TEXT}`;
    const { text } = made('x.cfgdump', rest.replace('# a', '@backup old\n# a'), gone);
    const read = bindText('b.cfgdump', text, profile);
    assert.equal(read.sealHolds, true);
    assert.equal(text, `@seal ${sealOf(read)}\n${rest}`);
    const windows = made('x.cfgdump', TEXT.replaceAll('\n', '\r\n')).text;
    assert.match(windows, /^@seal sha256:[0-9a-f]{64}\r\n1: 01/);
  });

  it('of raw bytes has the seal of the rows that are read of it again, however these are cut', () => {
    const by = profileOf({ addresses: { from: 0, to: 7 } });
    const dump = bindText('x.cfgdump', '0x00: 01 02 03 04 05\n0x05: 06 07 08\n', by);
    const again = '0x00: 01 02 03 04\n0x04: 05 06 07 08\n';
    const given = { name: 'x.bin', dump, profile: { kind: 'read' }, backup: { kind: 'none' } } as const;
    const copy = backupCopy(given, () => ({ ok: true, value: again }));
    assert.ok(copy.ok);
    const read = bindText('x.backup.cfgdump', copy.value.text, by);
    assert.ok(copy.value.text.endsWith(`\n${again}`));
    assert.equal(read.sealHolds, true);
    const why = phrase('gone');
    assert.deepEqual(
      backupCopy(given, () => ({ ok: false, why })),
      { ok: false, why },
    );
  });

  /** The digest of the records as they are written, by Node.js (FIPS 180-4). */
  const asWritten = (...records: readonly string[]) =>
    `sha256:${createHash('sha256')
      .update(`${records.join('\n')}\n`)
      .digest('hex')}`;

  for (const [what, given, records, text] of [
    [
      'is in front',
      { lineSum: { ...LINES.lineSum, sumAt: 'front' } },
      ['1:06010203', '2:11011000'],
      '1: 06 01 02 03\n2: 11 01 10 00\n',
    ],
    [
      'is in front, by a pattern',
      { notation: { pattern: 'Z{label}={sum}/{data}' } },
      ['1:06010203', '2:11011000'],
      'Z1=06/01 02 03\nZ2=11/01 10 00\n',
    ],
    ['is behind', {}, ['1:01020306', '2:01100011'], '1: 01 02 03 06\n2: 01 10 00 11\n'],
  ] as const)
    it(`is sealed as it is written, whether or not it is known that the sum ${what}`, () => {
      const by = profileOf({ ...LINES, totals: [], ...given });
      const sealed = `@seal ${asWritten(...records)}\n${text}`;
      const read = bindText('b.cfgdump', 'notation' in given ? sealed.replace('@', '# @') : sealed, by);
      assert.equal(read.sealHolds, true);
      assert.equal(sealOf(read), asWritten(...records));
      if (!('notation' in given)) assert.equal(bindText('b.cfgdump', sealed, EMPTY_PROFILE).sealHolds, true);
    });

  it('of an image has its seal behind everything, on a row of its own', () => {
    const by = profileOf(IMAGE);
    for (const text of [IMAGE_TEXT, `${IMAGE_TEXT}\n`]) {
      const copy = made('x.hex', text, { kind: 'none' }, by).text;
      assert.match(copy, /^:04001000A1B2C301D5\n/);
      assert.match(copy, /\n:00000001FF\n; @seal sha256:[0-9a-f]{64}\n$/);
      assert.equal(bindText('b.hex', copy, by).sealHolds, true);
    }
  });

  it('is named after the dump, with a number where the name is taken', () => {
    const { names } = made('x.cfgdump', TEXT);
    assert.deepEqual(names.slice(0, 3), ['x.backup.cfgdump', 'x.backup-2.cfgdump', 'x.backup-3.cfgdump']);
    assert.equal(new Set(names).size, 99);
    assert.equal(made('x.txt', TEXT).names[0], 'x.txt.backup.cfgdump');
    assert.equal(made('x.1.hex', IMAGE_TEXT, { kind: 'none' }, profileOf(IMAGE)).names[1], 'x.1.backup-2.hex');
  });

  it('is named in the dump: before all lines, behind the profile, or in place of the one that is gone', () => {
    const at = (line: number, more: object = {}) => ({
      ...{ line, column: 0, before: '@backup ', after: '\n', replaces: false },
      ...more,
    });
    assert.deepEqual(made('x.cfgdump', TEXT).naming, at(0));
    assert.deepEqual(made('x.cfgdump', `# a\n@profile p\n${TEXT}`).naming, at(2));
    assert.deepEqual(made('x.cfgdump', TEXT.replaceAll('\n', '\r\n')).naming, at(0, { after: '\r\n' }));
    const named = made('x.cfgdump', `@profile p\n@backup old\n${TEXT}`, gone).naming;
    assert.deepEqual(named, at(1, { after: '', replaces: true }));
  });

  it('is named in an image behind everything, where programs that read it have stopped', () => {
    const by = profileOf(IMAGE);
    const naming = (text: string) => made('x.hex', text, { kind: 'none' }, by).naming;
    const at = { column: 0, before: '; @backup ', after: '\n', replaces: false };
    assert.deepEqual(naming(`${IMAGE_TEXT}\n`), { ...at, line: 4 });
    assert.deepEqual(naming(IMAGE_TEXT), { ...at, line: 3, column: END.length, before: '\n; @backup ' });
    const replaced = made('x.hex', `; @backup old\n${IMAGE_TEXT}`, gone, by).naming;
    assert.deepEqual(replaced, { ...at, line: 0, after: '', replaces: true });
  });

  it('of a hex view is the same text, with seal and headers for a file beside it', () => {
    const view = '00000000: 11 22 33 44 55 66 77 88 99 aa bb cc dd ee ff 00  ."3DUfw.........\n';
    for (const [headers, kept] of [
      ['', ''],
      ['@vehicle 7\n@backup gone.xxd\n# a remark', '@vehicle 7\n# a remark\n'],
    ] as const) {
      const dump = bindWithHeaders('x.xxd', view + headers, EMPTY_PROFILE);
      const copy = backupCopy({ name: 'x.xxd', dump, profile: { kind: 'none' }, backup: { kind: 'none' } });
      assert.ok(copy.ok, headers);
      const { names, text, beside } = copy.value;
      assert.deepEqual([names[0], text, beside], ['x.backup.xxd', view, `@seal ${sealOf(dump)}\n${kept}`]);
      assert.equal(bindWithHeaders('x.backup.xxd', `${text}${beside}`, EMPTY_PROFILE).sealHolds, true);
    }
  });

  it('is named as the headers that are there are written, behind a comment sign or without one', () => {
    const lines = readProfile('{ "format": 1, "notation": { "pattern": "L{label}  {data}" } }').profile;
    for (const sign of ['', '# ', '#']) {
      const dump = bindText('x.txt', `${sign}@vehicle 7\nL01  00 01\n`, lines);
      assert.equal(placeForHeader(dump, 'backup').before, `${sign}@backup `);
      const text = headersToAdd(dump, [
        ['taken', 'now'],
        ['part', 'A'],
      ])?.text;
      assert.equal(text, `${sign}@taken now\n${sign}@part A\n`);
    }
    // Without headers a remark with the same sign tells nothing.
    for (const text of ['L01  00 01\n', 'L01  00 01\n# read at bench, ask me@work\nL02  00 01\n'])
      assert.equal(placeForHeader(bindText('x.txt', text, lines), 'backup').before, '# @backup ', text);
  });

  it('the profile is named before all else', () => {
    const dump = bindText('x.cfgdump', `@profile p\n${TEXT}`, profile);
    assert.deepEqual(placeForHeader(dump, 'profile'), { line: 0, column: 0, before: '@profile ', after: '\n' });
    assert.equal(placeForHeader(dump, 'vin').line, 1);
  });

  it('nothing is put before the mark of the encoding, which is the first of all', () => {
    const [bare, named] = [`\ufeff${TEXT}`, `\ufeff@profile p\n${TEXT}`].map((text) =>
      bindText('x.cfgdump', text, profile),
    );
    assert.ok(bare && named);
    const at = ({ line, column }: { readonly line: number; readonly column: number }) => [line, column];
    assert.deepEqual(at(placeForHeader(bare, 'profile')), [0, 1]);
    assert.deepEqual(at(placeForHeader(bare, 'vin')), [0, 1]);
    assert.deepEqual(at(placeForHeader(named, 'vin')), [1, 0]);
    assert.equal(textNaming(bare, 'p'), `\ufeff@profile p\n${TEXT}`);
  });
});
