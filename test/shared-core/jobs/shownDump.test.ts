// A dump in words is the same for the same data, and another one where any byte differs.
import assert from 'node:assert/strict';
import { createHash } from 'node:crypto';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { hex } from '../../../shared-core/src/base/hex.js';
import { say } from '../../../shared-core/src/base/index.js';
import { checkDump } from '../../../shared-core/src/checks/index.js';
import { shownDump, shownInWords, shownPage } from '../../../shared-core/src/jobs/index.js';
import { digestOf, otherDigits } from '../../../shared-core/src/jobs/shown/otherDigits.js';
import { bindText, type Dump } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';
import { NAMED_TEXT, namedProfile } from '../../support/namedLines.js';
import { record, slotted } from '../../support/slots.js';
import { END, IMAGE, IMAGE_RECORDS, image, LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

const shown = (dump: Dump) => {
  const result = shownDump('a.cfgdump', { dump, profile: { kind: 'read' } });
  assert.ok(result.ok);
  return result.value;
};
const wordsOf = (dump: Dump) => shownInWords(shown(dump)).map((one) => say(one));

describe('a dump in words', () => {
  const profile = profileOf(LINES);

  it('tells options, sums, and the data that neither holds', () => {
    assert.deepEqual(wordsOf(lines(profile, `@vehicle car 7\n${LINES_TEXT}`)).slice(0, -1), [
      'Vehicle: car 7',
      '',
      'Other options',
      '  Fog lamps: yes',
      '  Immobiliser: on',
      '',
      'Sums',
      '  3 line sums right, file sum right',
      '',
      'Data without an option',
      '  1: A1 B2 C3',
      '  2: 0· ·0 00',
      '  3: 00 00 00',
      '',
    ]);
  });

  it('tells which module it is by what the profile calls it, and invents no name where nothing says one', () => {
    const titled = profileOf({ ...LINES, title: 'Rear body module' });
    assert.equal(shown(lines(titled, LINES_TEXT)).module, 'Rear body module');
    assert.equal(shown(lines(profile, LINES_TEXT)).module, undefined);
  });

  it('tells what is wrong, and what is missing', () => {
    const words = wordsOf(lines(profile, '1: A1 B2 C3 | 16\n3: 00 00 00 | 01\ntotal: 02 27\n'));
    assert.ok(words.includes('  Fog lamps: cannot be read'), words.join('\n'));
    assert.ok(words.some((line) => line.startsWith('  error line-sum: ')));
    assert.ok(words.some((line) => line.startsWith('  error line-missing: ')));
  });

  it('tells nothing as wrong that is only worth knowing', () => {
    const moved = slotted([record(16), record(18), record(17)]);
    assert.ok(
      checkDump({ dump: moved, profile: { kind: 'read' }, backup: { kind: 'none' }, modules: () => [] }).length > 0,
    );
    assert.deepEqual(shown(moved).problems, []);
  });

  it('as a page has a title, what the file says of itself, a table for each group, sums, faults and data', () => {
    const [fog, key] = LINES.options;
    const grouped = profileOf({ ...LINES, options: [{ ...fog, group: 'Light', confidence: 'guess' }, key] });
    const page = shownPage(
      'a*b',
      shown(lines(grouped, `@vehicle car_7\n${LINES_TEXT.replace('| 11', '| 12')}`)),
      (said) => say(said),
    );
    const parts = [
      /^# a\\\*b\n\n- Vehicle: car\\_7\n\n/,
      /\n## Light\n\n\| Option \| Set to \|.*\n.*\n\| Fog lamps \| \*\*yes\*\* \| .* \| .*guess.* \|\n/,
      /\n## Other options\n\n.*\n.*\n\| Immobiliser \| \*\*on\*\* \|/,
      /\n## Sums\n\n/,
      /\n## What is wrong\n\n- /,
      /\n## Data without an option\n\nDots .*\n\n```text\n1: A1 B2 C3\n2: 0· ·0 00\n3: 00 00 00\n```\n/,
      /\nSHA-256 of all data: [0-9a-f]{64}\n?$/,
    ];
    let from = 0;
    for (const part of parts) {
      const at = page.slice(from).search(part.source.startsWith('^') ? part : new RegExp(part.source, 'm'));
      assert.ok(at >= 0, `${part.source}\n${page}`);
      from += at;
    }
    assert.doesNotMatch(
      shownPage('a', shown(lines(grouped, LINES_TEXT)), (said) => say(said)),
      /What is wrong/,
    );
  });

  it('names lines as the dump writes them, in words and on the page', () => {
    const dump = lines(namedProfile, NAMED_TEXT);
    assert.deepEqual(
      wordsOf(dump)
        .filter((line) => /^ {2}\S+: [0-9A-F·]{2} /.test(line))
        .map((line) => line.trim().split(':')[0]),
      ['r08', 'r09', 'r0A', 'r0B', 'r0C', 'r0D', 'r0E', 'r0F', 'r10', 'r11', 'r12'],
    );
    const page = shownPage('a', shown(dump), (said) => say(said));
    assert.match(page, /\| Fog lamps \| \*\*yes\*\* \| Line r0A, byte 1 \|/);
    assert.match(page, /\nr0A: ·· 10\n/);
    assert.doesNotMatch(page, /\n10: |Line 10/);
    // The digest goes by the labels, so that it does not depend on how they are written.
    const small = NAMED_TEXT.replace(/^r0[A-F]/gm, (name) => name.toLowerCase());
    assert.equal(shown(lines(namedProfile, small)).sha256, shown(dump).sha256);
  });

  it('is refused where nothing can be read', () => {
    const result = shownDump('a.cfgdump', { dump: lines(profile, '# nothing\n'), profile: { kind: 'read' } });
    assert.equal(result.ok, false);
  });

  it('is the same however the lines are written, and wherever', () => {
    const spaced =
      '# a remark\r\n@note x\r\n1:a1b2c3|16\r\n\r\n2:  01 10 00 | 11\r\n3: 00 00 00 | 00\r\ntotal: 0227\r\n';
    assert.deepEqual(wordsOf(lines(profile, spaced)), wordsOf(lines(profile, LINES_TEXT)));
  });

  it('is the same however an image is cut into records', () => {
    const one = image(profileOf(IMAGE), ...IMAGE_RECORDS, END);
    // The same bytes in two records of other lengths; each sum is the two's complement of all bytes (Intel, Hexadecimal Object File Format, 1988).
    const other = image(profileOf(IMAGE), ':05001000A1B2C30110C4', ':0700150000000000002702BB', END);
    assert.deepEqual(shown(other).others, shown(one).others);
    assert.equal(shown(other).sha256, shown(one).sha256);
  });

  it('differs wherever one byte does', () => {
    const before = wordsOf(lines(profile, LINES_TEXT)).join('\n');
    const places = [...LINES_TEXT.matchAll(/[0-9A-F]{2}(?= |$)/gm)].map(({ index }) => index);
    assert.ok(places.length > 10);
    fc.assert(
      fc.property(fc.constantFrom(...places), fc.integer({ min: 1, max: 255 }), (at, by) => {
        const byte = hex((Number.parseInt(LINES_TEXT.slice(at, at + 2), 16) + by) % 256);
        const text = `${LINES_TEXT.slice(0, at)}${byte}${LINES_TEXT.slice(at + 2)}`;
        assert.notEqual(wordsOf(lines(profile, text)).join('\n'), before);
      }),
    );
  });

  it('ends with SHA-256 of lines, or of rows of sixteen addresses', () => {
    const sha256 = (text: string) => createHash('sha256').update(text).digest('hex');
    assert.equal(digestOf(lines(profile, LINES_TEXT)), sha256('1:A1 B2 C3\n2:01 10 00\n3:00 00 00\n'));
    const sparse = image(EMPTY_PROFILE, ':0100110001ED', ':01002E0002CF', END);
    assert.equal(digestOf(sparse), sha256(`0010:   01\n0020:${'   '.repeat(14)}02\n`));
  });

  it('ends with one SHA-256 of the same bytes at the same addresses, in whatever form they are written', () => {
    // The sums of the records by the published rules of their forms; the same file as `srec_cat` writes it.
    const texts: Readonly<Record<string, string>> = {
      'a.s19': 'S1070000010203FFF3\nS9030000FC\n',
      'a.hex': ':04000000010203FFF7\n:00000001FF\n',
      'a.xxd': '00000000: 01 02 03 ff                                      ....\n',
      'a.cfgdump': '0x0000: 01 02 03 FF\n',
      'b.cfgdump': '0x0000: 01 02\n0x0002: 03 FF\n',
    };
    const digests = Object.entries(texts).map(([name, text]) => digestOf(bindText(name, text, EMPTY_PROFILE)));
    assert.deepEqual(new Set(digests).size, 1, digests.join('\n'));
    for (const other of ['0x0001: 01 02 03 FF\n', '0x0000: 01 02\n0x0001: 02 03 FF\n', '0x0000: 01 02 03 FF\nx: 01\n'])
      assert.ok(!digests.includes(digestOf(bindText('a.cfgdump', other, EMPTY_PROFILE))), other);
  });

  it('joins rows that go on alike, and tells a large image by digests of its stretches', () => {
    const text = (rows: readonly number[]) =>
      `${rows.map((byte, i) => `${hex(16 * i, 4)}: ${`${hex(byte)} `.repeat(16)}`).join('\n')}\n`;
    const of = (rows: readonly number[]) => otherDigits(bindText('a.xxd', text(rows), EMPTY_PROFILE));
    assert.deepEqual(
      of([1, 255, 255, 255, 2]).map(({ place }) => place),
      ['0000', '0010–0030', '0040'],
    );
    const many = Array.from({ length: 1000 }, (_, i) => i % 251);
    const [before, after] = [of(many), of(many.map((byte, i) => (i === 700 ? 255 : byte)))];
    assert.equal(before.length, 250);
    assert.deepEqual(
      after.filter(({ digits }, i) => digits !== before[i]?.digits).map(({ place }) => place),
      ['2BC0–2BF0'],
    );
  });
});
