import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { after, before, describe, it } from 'mocha';
import { checkDump } from '../../shared-core/src/checks/index.js';
import { convert } from '../../shared-core/src/convert/index.js';
import { FORMS, type FormId } from '../../shared-core/src/format/index.js';
import type { WrittenForm } from '../../shared-core/src/format/notation.js';
import { bindText } from '../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../shared-core/src/profile/index.js';
import { bytesAt } from '../support/images.js';
import { loaded } from '../support/loaded.js';
import { whyNotStarted } from '../support/programs.js';

const NONE = { kind: 'none' } as const;
const BASES = [0, 0x30, 0xfff0, 0x12345, 0x12345670];
const BYTES = Uint8Array.from({ length: 300 }, (_, i) => (i * 37 + (i >> 3)) & 0xff);

/** What srec_cat calls the forms that it knows, and what it leaves out of its files. */
const NAMES: Partial<Record<FormId, { readonly name: readonly string[]; readonly lacks?: string }>> = {
  'ti-txt': { name: ['-ti_txt'] },
  'mos-tech': { name: ['-MOS_Technologies'] },
  verilog: { name: ['-vmem', '8'] },
  'tektronix-extended': { name: ['-tektronix_extended'], lacks: 'end-missing' },
};

describe('srec_cat (srecord) with other written forms', () => {
  let folder: string;
  before(() => {
    folder = mkdtempSync(join(tmpdir(), 'countersum-'));
    writeFileSync(join(folder, 'n.bin'), BYTES);
  });
  after(() => rmSync(folder, { recursive: true, force: true }));
  const run = (...args: string[]) => {
    const { status, stderr, error } = spawnSync('srec_cat', args, { cwd: folder, encoding: 'utf8' });
    assert.equal(status, 0, whyNotStarted('srec_cat', error) ?? `${args.join(' ')}: ${stderr}`);
  };

  for (const { id, endings, keeps } of FORMS as readonly WrittenForm<FormId>[]) {
    const { name, lacks } = NAMES[id] ?? {};
    if (name === undefined) continue;
    const file = `a.${endings[0]}`;

    it(`writes ${id} that is read as the same bytes, and reads what is converted to it`, () => {
      for (const base of BASES.filter((one) => one + BYTES.length <= (keeps.top ?? Number.POSITIVE_INFINITY))) {
        const at = `0x${base.toString(16)}`;
        run('n.bin', '-binary', '-offset', at, '-o', file, ...name);
        const dump = bindText(file, readFileSync(join(folder, file), 'utf8'), EMPTY_PROFILE);
        assert.deepEqual(bytesAt(dump), new Map(Array.from(BYTES, (byte, i) => [base + i, byte])));
        assert.deepEqual(
          checkDump(loaded(dump, NONE, NONE)).map(({ code }) => code),
          lacks === undefined ? [] : [lacks],
        );
        const text = `${at}: ${Buffer.from(BYTES).toString('hex')}\n`;
        const converted = convert(bindText('a.cfgdump', text, EMPTY_PROFILE), id);
        assert.ok(converted.ok);
        writeFileSync(join(folder, file), converted.value.text);
        run(file, ...name.slice(0, 1), '-offset', `-${at}`, '-o', 'back.bin', '-binary');
        assert.deepEqual(new Uint8Array(readFileSync(join(folder, 'back.bin'))), BYTES);
      }
    });

    it(`says the same of ${id} with gaps in it, both ways`, () => {
      const sparse = fc.uniqueArray(fc.tuple(fc.nat(0xff), fc.uint8Array({ minLength: 1, maxLength: 80 })), {
        minLength: 1,
        maxLength: 6,
        selector: ([page]) => page,
      });
      fc.assert(
        fc.property(sparse, (pages) => {
          const runs = pages.map(([page, bytes]) => [0x100 * page, bytes] as const).sort(([a], [b]) => a - b);
          const lines = runs.map(([at, bytes]) => `0x${at.toString(16)}: ${Buffer.from(bytes).toString('hex')}\n`);
          const given = bindText('a.cfgdump', lines.join(''), EMPTY_PROFILE);
          const held = new Map(runs.flatMap(([at, bytes]) => Array.from(bytes, (byte, i) => [at + i, byte] as const)));
          const [hex, own] = [convert(given, 'intel-hex'), convert(given, id)];
          assert.ok(hex.ok && own.ok);
          writeFileSync(join(folder, 'a.hex'), hex.value.text);
          run('a.hex', '-intel', '-o', file, ...name);
          assert.deepEqual(bytesAt(bindText(file, readFileSync(join(folder, file), 'utf8'), EMPTY_PROFILE)), held);
          writeFileSync(join(folder, file), own.value.text);
          run(file, ...name.slice(0, 1), '-o', 'back.hex', '-intel');
          assert.deepEqual(
            bytesAt(bindText('back.hex', readFileSync(join(folder, 'back.hex'), 'utf8'), EMPTY_PROFILE)),
            held,
          );
        }),
        { numRuns: 20 },
      );
    });
  }
});
