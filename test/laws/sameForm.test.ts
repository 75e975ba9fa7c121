// The editor and the command line take the same form: one function of a file's name and its content says which it is.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { boundTo, openSnapshot } from '../../server/src/documents.js';
import { checkDump } from '../../shared-core/src/checks/index.js';
import { convert } from '../../shared-core/src/convert/index.js';
import { FORMS } from '../../shared-core/src/format/forms.js';
import type { FormId } from '../../shared-core/src/format/index.js';
import { promisedBy } from '../../shared-core/src/format/notationOf.js';
import type { Dump } from '../../shared-core/src/model/dump.js';
import { changeDump } from '../../shared-core/src/model/gate.js';
import { bindText } from '../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../shared-core/src/profile/index.js';
import { dumpOfText } from '../../shared-core/src/workspace/dumpFile.js';
import { loaded } from '../support/loaded.js';

const NONE = { kind: 'none' } as const;
const BYTES = Array.from({ length: 40 }, (_, i) => ((37 * i + 0x31) & 0xff).toString(16).padStart(2, '0'));

function inForm(id: FormId, width: number): string {
  const text = `0x0000: ${BYTES.join(' ')}\n`;
  if (id === 'dump-text') return text;
  const converted = convert(bindText('a.cfgdump', text, EMPTY_PROFILE), id, width);
  assert.ok(converted.ok);
  return converted.value.text;
}

const grouped = (size: number, each: (group: string) => string) =>
  Array.from({ length: BYTES.length / size }, (_, i) => each(BYTES.slice(size * i, size * (i + 1)).join(''))).join(' ');

/** Texts of every form, such as may be in several, such as show no order of their words, and such as are in none. */
const TEXTS: readonly string[] = [
  ...FORMS.flatMap(({ id }) => [inForm(id, 16), inForm(id, 8)]),
  ...FORMS.map(({ id }) => inForm(id, 16).replace(/[0-9a-f](?=[0-9a-f]*\s*$)/i, 'G')),
  `${BYTES.join(' ')}\n`,
  `${BYTES.join('')}\n`,
  '31 32 33\n',
  '16, 17, 18\n',
  `@0100\n${BYTES.join(' ')}\n`,
  ...[2, 4].flatMap((size) => [
    `${grouped(size, (group) => group)}\n`,
    `${grouped(size, (group) => `0x${group},`)}\n`,
    `00000000: ${grouped(size, (group) => group).slice(0, 39)}\n`,
    `0000000 ${grouped(size, (group) => group)}\n0000028\n`,
  ]),
  'uint16_t ee[2] = { 0x3132, 0x3334 };\n',
  '0000000 030462 031464\n0000004\n',
  'nothing but words\n',
  '',
];

/** A document as the editor opens it, by the language that the ending of its name has. */
function inEditor(name: string, text: string): Dump {
  const snapshot = openSnapshot(`file:///${name}`, promisedBy(name)?.language ?? 'plaintext', 1, text);
  assert.ok(snapshot?.kind === 'dump', name);
  return boundTo(snapshot, EMPTY_PROFILE).dump;
}

const errorsOf = (dump: Dump) => checkDump(loaded(dump, NONE, NONE)).filter(({ severity }) => severity === 'error');

describe('the form of a file', () => {
  for (const ending of ['txt', 'dat', ...FORMS.flatMap(({ endings }) => endings)])
    it(`named .${ending} is the same in the editor and on the command line, and where this asks for it the other says an error and writes nothing`, () => {
      for (const text of TEXTS) {
        const name = `a.${ending}`;
        const found = dumpOfText(name, text).bind(EMPTY_PROFILE);
        const shown = inEditor(name, text);
        if (found.ok) {
          assert.equal(shown.notation.id, found.value.notation.id, text);
          assert.deepEqual(shown.rows, found.value.rows, text);
          continue;
        }
        assert.notDeepEqual(errorsOf(shown), [], text);
        for (const [row, one] of shown.rows.entries()) {
          if (one.kind !== 'record' || one.count === 0) continue;
          const change = changeDump(shown, { writes: [{ row, byte: 0, value: 0xaa, reason: 'option' }] });
          assert.equal(change.ok, false, text);
        }
      }
    });
});
