import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { hex } from '../../shared-core/src/base/index.js';
import { checkDump } from '../../shared-core/src/checks/index.js';
import { convert } from '../../shared-core/src/convert/index.js';
import type { FormId } from '../../shared-core/src/format/index.js';
import { recognise } from '../../shared-core/src/format/notationOf.js';
import { bindText, type Dump } from '../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../shared-core/src/profile/index.js';
import { bytesAt } from '../support/images.js';
import { loaded } from '../support/loaded.js';
import { FORM_FILES, type PublishedFile } from './publishedForms.js';

const NONE = { kind: 'none' } as const;

/** An image as `ADDRESS:HEX`, several joined by commas. */
function imageOf(dump: Dump): string {
  const runs: { from: number; to: number; digits: string }[] = [];
  for (const [address, byte] of [...bytesAt(dump)].sort(([a], [b]) => a - b)) {
    const last = runs.at(-1);
    if (last?.to === address) Object.assign(last, { to: address + 1, digits: last.digits + hex(byte) });
    else runs.push({ from: address, to: address + 1, digits: hex(byte) });
  }
  return runs.map(({ from, digits }) => `${from.toString(16).toUpperCase()}:${digits}`).join(',');
}

const read = ({ form, text }: PublishedFile) => {
  const found = recognise('a.txt', text);
  assert.ok(found.kind === 'form', `${form}: ${text}`);
  assert.equal(found.form.id, form);
  return bindText('a.txt', text, EMPTY_PROFILE);
};

describe('published files of written forms', () => {
  for (const form of new Set(FORM_FILES.map((file) => file.form))) {
    const files = FORM_FILES.filter((file) => file.form === form);

    it(`in ${form} are known by their content, without a problem, and hold the bytes that their sources say`, () => {
      for (const file of files) {
        const dump = read(file);
        assert.equal(imageOf(dump), file.image, file.text);
        assert.deepEqual(
          checkDump(loaded(dump, NONE, NONE)).flatMap(({ code, severity }) =>
            severity === 'information' ? [] : [code],
          ),
          file.text.startsWith('%') && !file.text.includes('%0E8') ? ['end-missing'] : [],
        );
      }
    });

    it(`in ${form} are written as they stand where they are as this tool spells them`, () => {
      for (const file of files.filter(({ spelledAlike }) => spelledAlike)) {
        const text = convert(read(file), 'dump-text');
        assert.ok(text.ok);
        const back = convert(bindText('a.cfgdump', text.value.text, EMPTY_PROFILE), form as FormId);
        assert.ok(back.ok);
        assert.equal(back.value.text, file.text);
      }
    });
  }
});
