// What is written into a dump of any form can be read there: the profile that it names, and its sealed backup.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { backupCopy, headersToAdd } from '../../../shared-core/src/actions/backup.js';
import { textNaming } from '../../../shared-core/src/actions/nameProfile.js';
import { say, valueIn } from '../../../shared-core/src/base/index.js';
import { convert } from '../../../shared-core/src/convert/index.js';
import { FORMS } from '../../../shared-core/src/format/forms.js';
import type { WrittenForm } from '../../../shared-core/src/format/notation.js';
import { isImage } from '../../../shared-core/src/format/notationOf.js';
import { readRows, textOfRows } from '../../../shared-core/src/format/rows.js';
import { bind, bindText, type Dump } from '../../../shared-core/src/model/dump.js';
import { formatRows } from '../../../shared-core/src/model/formatRows.js';
import { headerValue, headIn, isSealed } from '../../../shared-core/src/model/headers.js';
import { sameRecords } from '../../../shared-core/src/model/seal.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/readProfile.js';
import { codedFiles, createWorkspace } from '../../../shared-core/src/workspace/index.js';
import { type MemoryFile, memoryHost, utf8 } from '../../support/memoryHost.js';

const PLAIN = '0x00: 11 A2 0B C4\n0x04: D5 E6 F7 10\n';
const IMAGE_PROFILE = { format: 1, addresses: { from: 0, to: 7 } };

/** Numbered lines of a program of its own, which no form reads. */
const LISTED = 'row;a;b;c;check\n30;01;02;03;06\n31;11;12;13;36\n32;A1;A2;A3;E6\nsum;0122\n';
const LISTED_PROFILE = {
  format: 1,
  notation: { pattern: '{label:hex};{data:;}', headings: ['row;a;b;c;check'] },
  lines: { from: 0x30, to: 0x32, data: 3, sum: 1 },
  lineSum: { method: 'add', over: ['data'] },
  totals: [{ name: 'file sum', method: 'add', bits: 16, over: ['data', 'sum'], label: 'sum', pattern: 'sum;{data}' }],
};

const unboundIn = (form: WrittenForm, text: string) => bind(readRows(text, form), form, EMPTY_PROFILE);

/** A text of a form with headers, written as every door writes them, and those that go into the file beside it. */
function withHeaders(form: WrittenForm, text: string): { readonly text: string; readonly beside: string } {
  if (form.headers === 'none') return { text, beside: '@profile p.dump-profile.json\n@vehicle Van 3\n' };
  const named = unboundIn(form, textNaming(unboundIn(form, text), 'p.dump-profile.json'));
  const added = headersToAdd(named, [['vehicle', 'Van 3']]);
  assert.ok(added !== undefined);
  const rows = named.rows.map((row) => row.text);
  const line = rows[added.line] ?? '';
  rows[added.line] = line.slice(0, added.column) + added.text + line.slice(added.column);
  return { text: rows.join(''), beside: '' };
}

const FOLDER = 'file:///van/';

function folderOf(profile: object) {
  const files = new Map<string, MemoryFile>([[`${FOLDER}p.dump-profile.json`, JSON.stringify(profile)]]);
  const put = (name: string, text: string, beside = '') => {
    files.set(FOLDER + name, text);
    if (beside !== '') files.set(`${FOLDER}${name}.dump-headers`, beside);
  };
  const load = async (name: string) => {
    const host = memoryHost(files);
    const coded = codedFiles(host, utf8);
    const loaded = await createWorkspace({ ...host, open: coded.open }).load(FOLDER + name);
    assert.ok(loaded.ok, loaded.ok ? '' : `${name}: ${say(loaded.why)}`);
    return loaded.value;
  };
  return { put, load };
}

const asked = ({ dump }: { readonly dump: Dump }) =>
  (['profile', 'vehicle'] as const).map((name) => headerValue(dump, name));

async function backsUp(folder: ReturnType<typeof folderOf>, name: string, at = folder.load(name)): Promise<void> {
  const loaded = await at;
  assert.equal(loaded.profile.kind, 'read', name);
  assert.deepEqual(asked(loaded), ['p.dump-profile.json', 'Van 3'], name);
  const copy = backupCopy(loaded);
  assert.ok(copy.ok, copy.ok ? '' : `${name}: ${say(copy.why)}`);
  const { names, text, beside } = copy.value;
  const [target = ''] = names;
  folder.put(target, text, beside);
  const again = await folder.load(target);
  assert.deepEqual(asked(again), ['p.dump-profile.json', 'Van 3'], `${target}\n${text}`);
  assert.equal(again.profile.kind, 'read', target);
  assert.equal(again.dump.sealHolds, true, `${target}\n${text}`);
  assert.ok(sameRecords(loaded.dump.rows, again.dump.rows), target);
  assert.equal(again.dump.notation.id, loaded.dump.notation.id, target);
  // Whoever looks at the headers alone knows it for a backup too.
  assert.ok(isSealed(beside === undefined ? headIn(target, text) : headIn('h.cfgdump', beside)), target);
}

for (const form of FORMS as readonly WrittenForm[]) {
  const [ending] = form.endings;
  const image = () => {
    const written = isImage(form)
      ? valueIn(convert(bindText('a.cfgdump', PLAIN, EMPTY_PROFILE), form.id as never))
      : undefined;
    return written?.text ?? PLAIN;
  };

  describe(`a dump written as ${form.id}`, () => {
    it('is backed up under a name by which the backup is read as the same form, sealed', async () => {
      const folder = folderOf(IMAGE_PROFILE);
      const { text, beside } = withHeaders(form, image());
      folder.put(`unit.${ending}`, text, beside);
      await backsUp(folder, `unit.${ending}`);
    });

    it('under a name that promises no form has a backup that is read all the same', async () => {
      const folder = folderOf(IMAGE_PROFILE);
      const { text, beside } = withHeaders(form, image());
      folder.put(`unit.${ending}`, text, beside);
      const loaded = await folder.load(`unit.${ending}`);
      await backsUp(folder, 'unit.dat', Promise.resolve({ ...loaded, name: 'unit.dat' }));
    });

    if (form.headers !== 'none')
      it('but holds numbered lines of its profile: that is found where it was named, and so is the backup', async () => {
        const folder = folderOf(LISTED_PROFILE);
        const { text } = withHeaders(form, LISTED);
        folder.put(`unit.${ending}`, text);
        await backsUp(folder, `unit.${ending}`);
        // A person may have the editor read it in this form under any name; the command line goes by the text.
        if (form.commentSign !== '#') {
          folder.put('unit.lst', text);
          await backsUp(folder, 'unit.lst');
        }
        assert.equal(textOfRows(unboundIn(form, text).rows), text);
      });
  });
}

describe('a header behind the comment sign of another form', () => {
  const kinds = (...lines: readonly string[]) =>
    bindText('a.cfgdump', lines.map((line) => `${line}\n`).join(''), EMPTY_PROFILE).rows.map(({ kind }) => kind);

  it('is one in dump text too, where no other line with that sign is anything, and a note stays a note', () => {
    assert.deepEqual(kinds('// @vehicle Van 3', ' ;@seal x'), ['header', 'header', 'blank']);
    assert.deepEqual(kinds('// a remark', '; 11 22', '// @11 22'), ['broken', 'broken', 'broken', 'blank']);
    assert.deepEqual(kinds('# @vehicle Van 3'), ['comment', 'blank']);
  });

  it('keeps it where the document is formatted', () => {
    const text = '//   @vehicle   Van 3\n1: 01 02\n';
    const dump = bindText('a.cfgdump', text, EMPTY_PROFILE);
    const [edit] = formatRows(dump, 0, 0, { letterCase: 'keep', spacing: 'asMostLines' });
    assert.ok(edit !== undefined);
    const line = text.split('\n')[0] ?? '';
    assert.equal(line.slice(0, edit.start) + edit.text + line.slice(edit.end), '// @vehicle Van 3');
  });
});
