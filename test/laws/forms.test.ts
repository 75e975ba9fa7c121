import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { hex, hexBytes } from '../../shared-core/src/base/index.js';
import { checkDump, isGood, verdictOf } from '../../shared-core/src/checks/index.js';
import { convert } from '../../shared-core/src/convert/index.js';
import { FORMS, readRows, replaceText, textAfter, textOfRows } from '../../shared-core/src/format/index.js';
import type { WrittenForm } from '../../shared-core/src/format/notation.js';
import { isImage } from '../../shared-core/src/format/notationOf.js';
import { byteOf } from '../../shared-core/src/format/row.js';
import { editsOf } from '../../shared-core/src/model/byteWrite.js';
import { bind, bindText, type Dump, rebind } from '../../shared-core/src/model/index.js';
import { EMPTY_PROFILE, readProfile } from '../../shared-core/src/profile/index.js';
import { withLineSums } from '../../shared-core/src/repair/lineSums.js';
import { scanImage } from '../../shared-core/src/scan/imageScan.js';
import { bytesAt, digitsOf } from '../support/images.js';
import { loaded, SOUND } from '../support/loaded.js';
import { times } from '../support/times.js';

const NONE = { kind: 'none' } as const;

/** Runs of bytes at addresses that do not touch. */
const runs = fc
  .tuple(
    fc.uniqueArray(fc.tuple(fc.nat(0x3f), fc.uint8Array({ minLength: 1, maxLength: 60 })), {
      minLength: 1,
      maxLength: 4,
      selector: ([place]) => place,
    }),
    fc.nat(0xf),
  )
  .map(([places, offset]) =>
    [...places].sort(([a], [b]) => a - b).map(([place, bytes]) => ({ at: 0xa000 + 0x80 * place + offset, bytes })),
  );

type Runs = readonly { readonly at: number; readonly bytes: Uint8Array }[];

function written(form: WrittenForm, data: Runs, width: number, lineEnd: string): string {
  const text = data.map(({ at, bytes }) => `0x${hex(at, 4)}: ${hexBytes(bytes)}${lineEnd}`).join('');
  if (!isImage(form)) return text;
  const converted = convert(bindText('a.cfgdump', text, EMPTY_PROFILE), form.id as (typeof FORMS)[number]['id'], width);
  assert.ok(converted.ok);
  return converted.value.text;
}

/** A form that has no addresses holds its data from 0 on; one that has no gaps holds one run. */
const dataOf = (form: WrittenForm) => {
  const { addresses, gaps } = form.keeps;
  if (addresses && gaps !== false) return runs;
  return runs.map((some) => some.slice(0, 1).map(({ at, bytes }) => ({ at: addresses ? at : 0, bytes })));
};

const open = (form: WrittenForm, text: string, profile = EMPTY_PROFILE) => bind(readRows(text, form), form, profile);
const problemsOf = (dump: Dump) => checkDump(loaded(dump, NONE, NONE));

for (const form of FORMS as readonly WrittenForm[]) {
  const width = fc.integer({ min: 1, max: 40 });
  const end = fc.constantFrom('\n', '\r\n');

  describe(`laws of the form ${form.id}`, () => {
    it('what is written is read as the same bytes, without loss of text, and its digits stand where they say', () => {
      fc.assert(
        fc.property(dataOf(form), width, end, (data, most, lineEnd) => {
          const text = written(form, data, most, lineEnd);
          const dump = open(form, text);
          assert.equal(textOfRows(dump.rows), text);
          assert.deepEqual([dump.invalidRows, dump.wrongSums, dump.layout.imageProblems], [[], [], []], text);
          if (!isImage(form)) return;
          const expected = new Map(
            data.flatMap(({ at, bytes }) => Array.from(bytes, (byte, i) => [at + i, byte] as const)),
          );
          assert.deepEqual(bytesAt(dump), expected, text);
          for (const row of dump.rows)
            if (row.kind === 'record')
              assert.equal(
                digitsOf(row, form),
                hexBytes(Uint8Array.from({ length: row.count }, (_, i) => byteOf(row, i))),
              );
        }),
      );
    });

    it('a written file is known for what it is, or the form is asked for', () => {
      if (!isImage(form)) return;
      fc.assert(
        fc.property(dataOf(form), width, end, (data, most, lineEnd) => {
          assert.notEqual(form.fits(written(form, data, most, lineEnd)), 'no');
        }),
      );
    });

    it('a byte that is set and set back leaves the text as it was, and nothing else is changed meanwhile', () => {
      fc.assert(
        fc.property(dataOf(form), width, end, fc.nat(), fc.nat(255), (data, most, lineEnd, which, value) => {
          const before = open(form, written(form, data, most, lineEnd));
          const { order, dataCount } = before.layout;
          const cells = [...order].flatMap((row) =>
            Array.from({ length: dataCount[row] as number }, (_, byte) => ({ row, byte })),
          );
          const cell = cells[which % cells.length];
          const record = before.rows[cell?.row ?? 0];
          assert.ok(cell && record?.kind === 'record');
          const set = (dump: Dump, to: number) => {
            const writes = withLineSums(dump, [{ ...cell, value: to, reason: 'option' as const }]);
            return open(form, textAfter(dump.rows, editsOf(dump, writes)));
          };
          const after = set(before, value);
          assert.deepEqual([after.invalidRows, after.wrongSums, after.layout.imageProblems], [[], [], []]);
          const [was, now] = [bytesAt(before), bytesAt(after)];
          const unlike = [...was.keys()].filter((address) => was.get(address) !== now.get(address));
          assert.equal(unlike.length, byteOf(record, cell.byte) === value ? 0 : 1);
          assert.equal(now.size, was.size);
          assert.equal(textOfRows(set(after, byteOf(record, cell.byte)).rows), textOfRows(before.rows));
        }),
      );
    });

    it('a line with one wrong character is read or named, and no byte of it is lost in silence', () => {
      const put = fc.constantFrom('', '0', 'F', 'x', 'O', ' ', ':', '*', '\0', 'é', '-', '@', 'q', ',');
      fc.assert(
        fc.property(
          dataOf(form),
          width,
          fc.nat(),
          fc.nat(),
          put,
          fc.boolean(),
          (data, most, which, at, mark, replaces) => {
            const lines = written(form, data, most, '\n').split(/(?<=\n)/);
            const row = which % lines.length;
            const line = (lines[row] ?? '').trimEnd();
            const place = at % (line.length + 1);
            lines[row] = `${line.slice(0, place)}${mark}${line.slice(place + (replaces || mark === '' ? 1 : 0))}\n`;
            const [before, after] = [open(form, written(form, data, most, '\n')), open(form, lines.join(''))];
            // In lines with labels, only a profile says which there are.
            if (!isImage(form)) return;
            const isNamed = problemsOf(after).some(({ severity }) => severity !== 'information');
            assert.ok(isNamed || bytesAt(after).size >= bytesAt(before).size, lines.join(''));
          },
        ),
        times(250),
      );
    });

    it('whatever is typed where, checks by difference = checks from scratch, with and without a profile', () => {
      const edit = fc.tuple(
        fc.nat(),
        fc.nat(),
        fc.nat(3),
        fc.constantFrom('0', 'F', 'x', '', ' ', '@', ':', '\n', '*', '//'),
      );
      const profile = readProfile(
        JSON.stringify({
          format: 1,
          addresses: { from: 0xa000, to: 0xa02f },
          totals: [
            { name: 'crc', method: 'crc', model: 'CRC-16/ARC', over: [{ from: 0xa000, to: 0xa01f }], address: 0xa020 },
          ],
        }),
      ).profile;
      fc.assert(
        fc.property(
          dataOf(form),
          width,
          end,
          fc.array(edit, { minLength: 1, maxLength: 5 }),
          fc.boolean(),
          (data, most, lineEnd, edits, explained) => {
            const by = explained ? profile : EMPTY_PROFILE;
            let { rows } = open(form, written(form, data, most, lineEnd));
            let dump = bind(rows, form, by);
            for (const [a, b, count, put] of edits) {
              const row = a % rows.length;
              const length = (rows[row]?.text ?? '').replace(/[\r\n]+$/, '').length;
              const column = b % (length + 1);
              const to = { row, column: Math.min(length, column + count) };
              const next = replaceText(rows, { start: { row, column }, end: to, text: put }, form);
              rows = next.rows;
              dump = rebind(dump, rows, next.change);
              const whole = open(form, textOfRows(rows), by);
              assert.deepEqual(problemsOf(dump), problemsOf(whole), textOfRows(rows));
              assert.deepEqual([...dump.layout.keys], [...whole.layout.keys]);
              if (!isImage(form) || (form.image?.doubts !== undefined && form.image.inOrder === undefined)) continue;
              const file = {
                chunks: () => [Buffer.from(textOfRows(rows))],
                notation: form,
                decode: (bytes: Uint8Array) => Buffer.from(bytes).toString('utf8'),
              };
              const scanned = scanImage(file, by);
              if (!('asks' in scanned)) assert.deepEqual(problemsOf(scanned), problemsOf(whole), textOfRows(rows));
            }
          },
        ),
        times(300),
      );
    });

    if (form.image?.end !== undefined && form.image.end.follows === undefined) {
      it('cut off behind any of its rows, it is never good', () => {
        fc.assert(
          fc.property(dataOf(form), width, (data, most) => {
            const lines = written(form, data, most, '\n').split(/(?<=\n)/);
            const profileOf = (to: number) =>
              readProfile(JSON.stringify({ format: 1, addresses: { from: 0, to } })).profile;
            for (let count = 1; count < lines.length; count++) {
              const dump = open(form, lines.slice(0, count).join(''), profileOf(0));
              const all = loaded(dump, SOUND);
              const { verdict, problems } = { verdict: verdictOf(all, checkDump(all)), problems: checkDump(all) };
              assert.ok(
                !isGood(verdict) &&
                  problems.some(({ severity }) => severity !== 'information' || form.image?.roles.includes('count')),
                lines.slice(0, count).join(''),
              );
            }
          }),
        );
      });
    }
  });
}
