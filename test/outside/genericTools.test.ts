import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, before, describe, it } from 'mocha';
import { checkDump } from '../../shared-core/src/checks/index.js';
import type { ConvertTarget } from '../../shared-core/src/convert/convert.js';
import { convert } from '../../shared-core/src/convert/index.js';
import { bindText, type Dump } from '../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../shared-core/src/profile/index.js';
import { bytesAt } from '../support/images.js';
import { loaded } from '../support/loaded.js';
import { whyNotStarted } from '../support/programs.js';

const NONE = { kind: 'none' } as const;
const codes = (dump: Dump) => checkDump(loaded(dump, NONE, NONE)).map(({ code }) => code);

/** Places that a form has trouble with: inside 64 KiB, across 64 KiB, 1 MiB and 16 MiB, up to the last address. */
const BASES = [0, 0x30, 0xfff0, 0x12345, 0xffff8, 0xfffff0, 0x12345678, 0xffffffff - 299];
const BYTES = Uint8Array.from({ length: 300 }, (_, i) => (i * 37 + (i >> 3)) & 0xff);

/** The tools' names of the two forms, and ours. */
const FORMS = [
  { target: 'intel-hex', file: 'a.hex', srecCat: '-intel', objcopy: 'ihex' },
  { target: 's-record', file: 'a.srec', srecCat: '-motorola', objcopy: 'srec' },
] as const;

describe('srec_cat (srecord) and objcopy (binutils)', () => {
  let folder: string;
  before(() => {
    folder = mkdtempSync(join(tmpdir(), 'countersum-'));
    writeFileSync(join(folder, 'n.bin'), BYTES);
  });
  after(() => rmSync(folder, { recursive: true, force: true }));

  const run = (command: string, ...args: string[]) => {
    const { status, stderr, error } = spawnSync(command, args, { cwd: folder, encoding: 'utf8' });
    assert.equal(status, 0, whyNotStarted(command, error) ?? `${command} ${args.join(' ')}: ${stderr}`);
  };
  const read = (file: string) => bindText(file, readFileSync(join(folder, file), 'utf8'), EMPTY_PROFILE);
  const expected = (base: number) => new Map(Array.from(BYTES, (byte, i) => [base + i, byte]));
  const text = (base: number) =>
    Array.from(
      { length: 10 },
      (_, i) => `0x${(base + 30 * i).toString(16)}: ${Buffer.from(BYTES.slice(30 * i, 30 * i + 30)).toString('hex')}\n`,
    ).join('');
  const written = (target: ConvertTarget, base: number, start = '') => {
    const converted = convert(bindText('a.cfgdump', start + text(base), EMPTY_PROFILE), target);
    assert.ok(converted.ok);
    return converted.value.text;
  };

  for (const { target, file, srecCat, objcopy } of FORMS) {
    for (const base of BASES) {
      const at = `0x${base.toString(16)}`;

      it(`what they write as ${target} at ${at} is read as the same bytes at the same addresses`, () => {
        run('srec_cat', 'n.bin', '-binary', '-offset', at, '-o', file, srecCat);
        // srec_cat writes an end record in S-records only where it is told where the program starts.
        assert.deepEqual(codes(read(file)), target === 's-record' ? ['end-counted'] : []);
        assert.deepEqual(bytesAt(read(file)), expected(base));
        run('objcopy', '-I', 'binary', '-O', objcopy, '--change-addresses', at, 'n.bin', file);
        assert.deepEqual(codes(read(file)), []);
        assert.deepEqual(bytesAt(read(file)), expected(base));
      });

      it(`they read what is converted to ${target} at ${at}`, () => {
        writeFileSync(join(folder, file), written(target, base));
        run('srec_cat', file, srecCat, '-offset', `-${at}`, '-o', 'back.bin', '-binary');
        assert.deepEqual(new Uint8Array(readFileSync(join(folder, 'back.bin'))), BYTES);
        run('objcopy', '-I', objcopy, '-O', 'binary', file, 'back.bin');
        assert.deepEqual(new Uint8Array(readFileSync(join(folder, 'back.bin'))), BYTES);
      });
    }

    it(`the start address goes there and back as ${target}`, () => {
      writeFileSync(join(folder, file), written(target, 0x12340, '@start 0x12345\n'));
      const other = FORMS.find((form) => form.target !== target) ?? FORMS[0];
      run('srec_cat', file, srecCat, '-o', other.file, other.srecCat);
      const back = convert(read(other.file), 'dump-text');
      assert.ok(back.ok);
      assert.match(back.value.text, /^@start 0x00012345\n/);
    });
  }

  // Numbers as the tools wrote them; Debian srecord 1.64-3, binutils 2.40-2.
  it('a conversion is, byte for byte, what srec_cat writes but for its first base record of 0', () => {
    const nine = '0x12340: 313233343536373839\n';
    const as = (target: ConvertTarget, dump: string) => {
      const converted = convert(bindText('a.cfgdump', dump, EMPTY_PROFILE), target);
      return converted.ok ? converted.value.text.trim().split('\n') : [];
    };
    assert.deepEqual(as('intel-hex', nine), [':020000040001F9', ':09234000313233343536373839B7', ':00000001FF']);
    assert.deepEqual(as('intel-hex', nine.replace('0x12340', '0')), [':090000003132333435363738391A', ':00000001FF']);
    assert.deepEqual(as('s-record', nine).slice(0, 2), ['S20D012340313233343536373839B1', 'S5030001FB']);
    assert.deepEqual(as('s-record', `@start 0x12345678\n${nine.replace('0x12340', '0x12345670')}`).slice(1), [
      'S5030001FB',
      'S70512345678E6',
    ]);
  });

  it('finds a wrong sum where they do, and none where srec_cat has righted it', () => {
    writeFileSync(
      join(folder, 'bad.hex'),
      written('intel-hex', 0).replace(/.(?=\n)/, (digit) => (digit === '0' ? '1' : '0')),
    );
    assert.deepEqual(codes(read('bad.hex')), ['line-sum']);
    assert.equal(spawnSync('objcopy', ['-I', 'ihex', '-O', 'binary', 'bad.hex', 'x'], { cwd: folder }).status, 1);
    run('srec_cat', 'bad.hex', '-intel', '-ignore-checksums', '-o', 'good.hex', '-intel');
    assert.deepEqual(codes(read('good.hex')), []);
  });

  it('read an image with headers behind its end record, as a sealed backup has them', () => {
    for (const { target, file, srecCat, objcopy } of FORMS) {
      writeFileSync(join(folder, file), `${written(target, 0x30)}; @backup a.backup\n; @seal sha256:00\n`);
      run('objcopy', '-I', objcopy, '-O', 'binary', file, 'o.bin');
      assert.deepEqual(Uint8Array.from(readFileSync(join(folder, 'o.bin'))), BYTES);
      run('srec_cat', file, srecCat, '-offset', '-0x30', '-o', 's.bin', '-binary');
      assert.deepEqual(Uint8Array.from(readFileSync(join(folder, 's.bin'))), BYTES);
    }
  });
});
