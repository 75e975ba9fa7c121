// How each written form writes: a whole dump with what people wrote in it, and each kind of record by itself.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { pageWriter } from '../../../shared-core/src/base/pageWriter.js';
import { FORMS } from '../../../shared-core/src/format/index.js';
import { inWords } from '../../../shared-core/src/format/inWords.js';
import type { WrittenForm } from '../../../shared-core/src/format/notation.js';
import { sRecord } from '../../../shared-core/src/format/sRecord.js';
import { tektronixExtended } from '../../../shared-core/src/format/tektronix.js';
import type { ContentsToWrite, Remark } from '../../../shared-core/src/format/toWrite.js';
import { WORDS } from '../../../shared-core/src/format/word.js';
import { assertExpected } from '../../support/expected.js';
import { visible } from '../../support/shownRows.js';

type Line = readonly [address: number, ...bytes: readonly number[]] | Remark;

function written(form: WrittenForm, lines: readonly Line[], more: Partial<ContentsToWrite> = {}): string {
  let text = '';
  const page = pageWriter({
    ascii: (codes) => {
      text += String.fromCharCode(...codes);
    },
    text: (part) => {
      text += part;
    },
  });
  const contents: ContentsToWrite = {
    top: 0x40,
    start: undefined,
    width: 4,
    lineEnd: '\n',
    headers: [],
    forEachLine: (give, remark) => {
      for (const line of lines) {
        if ('kind' in line) remark?.(line);
        else give(line[0], Uint8Array.from(line.slice(1)));
      }
    },
    ...more,
  };
  form.write(contents, page);
  page.flush();
  return text;
}

const HEADERS = [
  { name: 'vin', value: '0DEM0T4X5TA020418' },
  { name: 'empty', value: '' },
];
const LOW: readonly Line[] = [
  { kind: 'title', bytes: Uint8Array.from([0x48, 0x44, 0x52]) },
  { kind: 'title', bytes: Uint8Array.from([0x01, 0xff]) },
  { kind: 'header', name: 'vin', value: '0DEM0T4X5TA020418' },
  { kind: 'header', name: 'empty', value: '' },
  [0x08, 0x31, 0x32, 0x33, 0x34],
  [0x0c, 0x7f],
  { kind: 'comment', text: '; # // as found' },
  { kind: 'comment', text: '@here' },
  { kind: 'comment', text: '// @here */' },
  { kind: 'comment', text: '//' },
  [0x10, 0x20, 0x7e, 0x1f, 0xff],
  [0x14, 0x00, 0xa5],
];
const HIGH: readonly Line[] = [
  [0xfffe, 0x01, 0x02],
  [0x10000, 0x03, 0x04, 0x05, 0x06],
  [0x10004, 0x07],
  [0x12345678, 0x08, 0x09],
  [0x1234567a, 0x0a],
  [0xfedcba98, 0xf0, 0x0f],
];

describe('every line that is written', () => {
  for (const form of FORMS as readonly WrittenForm[])
    it(`is as expected in ${form.id}`, () => {
      const texts = [
        written(form, LOW, { headers: HEADERS }),
        written(form, LOW, { start: 0x0a, lineEnd: '\r\n', width: 3, headers: HEADERS }),
        written(form, LOW, { start: 0x1234, lineEnd: '\r', top: 0x10000 }),
        written(form, LOW, { top: 0x10001 }),
        written(form, LOW, { top: 0x1000000, start: 0x123456 }),
        written(form, LOW, { top: 0x1000001, start: 0 }),
        ...(form.keeps.top === undefined ? [written(form, HIGH, { top: 0xfedcba9a, start: 0xfedcba98 })] : []),
        written(form, []),
      ];
      const long = written(form, [[0, ...Array.from({ length: 250 }, (_, i) => i)]], { width: 250, top: 250 });
      assertExpected(`written/${form.id}.txt`, [...texts, long].map((text) => shown(text)).join('\n'));
    });

  it('is as expected of each kind of record by itself', () => {
    const data = Uint8Array.from([0x31, 0x32, 0x33, 0x34, 0x20, 0x7e, 0x7f, 0xff]);
    const texts = (FORMS as readonly WrittenForm[]).flatMap((form) => {
      const types = form.image === undefined ? [undefined] : [undefined, ...form.image.roles.keys()];
      return [undefined, ...WORDS].flatMap((word) =>
        types.flatMap((type) =>
          [data, data.subarray(0, 5), data.subarray(0, 0)].map((bytes) => {
            const sum = Uint8Array.from({ length: form.image?.sum === undefined ? 0 : 1 }, () => 0xc5);
            const name = [form.id, ...(word ? [word] : []), `type ${type ?? '-'}`].join(' ');
            return `${name}: ${visible(inWords(form, word).print({ label: 0x1a2b, type, data: bytes, sum }))}\n`;
          }),
        ),
      );
    });
    for (const form of FORMS as readonly WrittenForm[])
      for (const address of [0, 0xffff, 0x10000, 0xffffff, 0x1000000, 0xffffffff]) {
        const record = form.image?.dataRecord(address);
        if (record === undefined) continue;
        const sixteen = Uint8Array.from({ length: 16 }, (_, i) => 0x38 + i);
        texts.push(
          `${form.id} at ${address}: ${visible(form.print({ ...record, data: sixteen, sum: new Uint8Array(0) }))}\n`,
        );
        if (form.id === 'hex-view')
          texts.push(
            `hexdump at ${address}: ${form.print({ label: address, type: 1, data: sixteen, sum: sixteen })}\n`,
          );
      }
    const [dumpText] = FORMS;
    const sum = Uint8Array.of(0xc5, 0x01);
    for (const label of [0xffff, 0x10000, 7, 'left', '1-2'])
      texts.push(`dump-text: ${dumpText.print({ label, type: undefined, data, sum })}\n`);
    assertExpected('written/records.txt', [...new Set(texts)].join(''));
  });

  it('is counted in S-records by two bytes as far as these go, then by three', () => {
    for (const [count, end] of [
      [0xffff, 'S503FFFFFE\nS9030000FC\n'],
      [0x10000, 'S604010000FA\nS9030000FC\n'],
    ] as const) {
      const text = written(
        sRecord,
        Array.from({ length: count }, (_, i): Line => [i, 0]),
        { top: 0x10000 },
      );
      assert.equal(text.slice(-end.length), end);
    }
  });

  it('is as long in Tektronix extended as a length of two digits says', () => {
    const bytes = Array.from({ length: 250 }, (_, i) => 255 - i);
    const lines = written(tektronixExtended, [[0x10, ...bytes]]).split('\n');
    assert.deepEqual(
      lines.map((line) => [line.length, Number.parseInt(line.slice(1, 3), 16), line.slice(6, 15)]),
      [
        [255, 254, '800000010'],
        [255, 254, '800000088'],
        [35, 34, '800000100'],
        [15, 14, '800000000'],
        [0, Number.NaN, ''],
      ],
    );
  });
});

function shown(text: string): string {
  return visible(text)
    .replace(/␍?␊|␍/g, '$&\n')
    .replace(/(?<!\n)$/, '\n');
}
