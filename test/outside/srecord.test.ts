import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, before, describe, it } from 'mocha';
import { bindText, checkDump, convert, EMPTY_PROFILE, FORMS, type FormId } from '../../shared-core/src/index.js';
import { bytesAt } from '../support/images.js';
import { loaded } from '../support/loaded.js';
import { whyNotStarted } from '../support/programs.js';

const NONE = { kind: 'none' } as const;
const BASES = [0, 0x30, 0xfff0, 0x12345, 0x12345670];
const BYTES = Uint8Array.from({ length: 300 }, (_, i) => (i * 37 + (i >> 3)) & 0xff);

/** What srec_cat calls the forms that it knows, and what it leaves out of its files. */
const NAMES: Partial<Record<FormId, { readonly name: readonly string[]; readonly lacks?: string }>> = {
  'ti-txt': { name: ['-ti_txt'] },
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

  for (const { id, endings } of FORMS) {
    const { name, lacks } = NAMES[id] ?? {};
    if (name === undefined) continue;
    const file = `a.${endings[0]}`;

    it(`writes ${id} that is read as the same bytes, and reads what is converted to it`, () => {
      for (const base of BASES) {
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
  }
});
