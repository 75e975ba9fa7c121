import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { bytesOf, textOfRows } from '../../shared-core/src/format/index.js';
import type { Format } from '../../shared-core/src/model/formatRows.js';
import { bindText, type Dump, formatRows, LETTER_CASES, SPACINGS } from '../../shared-core/src/model/index.js';
import { type Profile, readProfile } from '../../shared-core/src/profile/index.js';
import { demoProfile } from '../support/demo.js';

const blanks = fc.constantFrom('', ' ', '  ', '\t', '\u00a0');
const byte = fc.tuple(fc.integer({ min: 0, max: 255 }), fc.boolean()).map(([value, upper]) => {
  const digits = value.toString(16).padStart(2, '0');
  return upper ? digits.toUpperCase() : digits;
});
const label = fc.constantFrom('1', '2', '07', '12', '0x1f', '0X2', '1-9', '10-11', 'total', 'a.b-c');
const comment = fc.constantFrom('', '#', '# note', '#x  y ', '# 1: FF');

/** A record with bytes, blanks and a divider wherever they may stand. */
const record = fc
  .record({
    lead: blanks,
    label,
    colon: blanks,
    bytes: fc.array(fc.tuple(blanks, byte), { maxLength: 8 }),
    at: fc.nat(8),
  })
  .chain(({ lead, label: name, colon, bytes, at }) =>
    fc.record({ divided: fc.boolean(), tail: blanks, comment }).map(({ divided, tail, comment: said }) => {
      const groups = bytes
        .map(([gap, digits], i) => (divided && i === at ? `|${gap}${digits}` : gap + digits))
        .join('');
      return `${lead}${name}${colon}:${groups}${tail}${said}`;
    }),
  );
const other = fc.constantFrom('', '   ', '# a comment  ', '@vin  X ', '  @profile a b', '@', '4 08', '9: 0', '\ufeff');
const lineEnd = fc.constantFrom('\n', '\r\n', '\r');
const dumpText = fc
  .tuple(fc.constantFrom('', '\ufeff'), fc.array(fc.tuple(fc.oneof({ arbitrary: record, weight: 4 }, other), lineEnd)))
  .map(([mark, lines]) => mark + lines.map(([line, end]) => line + end).join(''));

const imageLine = fc.constantFrom(
  ':0400100001aB02fF3f ',
  ':00000001ff',
  '  :0400100001AB02FF3F behind it ',
  '; @profile x ',
  'S107000001ab02ff4B',
  's9030000fc\t',
  'other text  ',
);
const images = fc
  .tuple(fc.constantFrom('a.hex', 'a.s19'), fc.array(imageLine))
  .map(([name, lines]) => ({ name, text: lines.join('\n') }));

const format = fc.record<Format>({
  letterCase: fc.constantFrom(...LETTER_CASES),
  spacing: fc.constantFrom(...SPACINGS),
});

const pattern = readProfile(
  JSON.stringify({
    format: 1,
    notation: { pattern: 'Beef[{label:hex}] {data} ;{sum}' },
    lines: { from: 1, to: 9, data: 2, sum: 1 },
  }),
).profile;
const patternText = fc
  .array(fc.constantFrom('Beef[0a]  aB cd;eF ', 'Beef[b] 01 02 ; 03', 'bare face', ''))
  .map((lines) => lines.join('\n'));

/** A dump after formatting, read anew from its text. */
function formattedDump(dump: Dump, name: string, how: Format, first = 0, last = dump.rows.length): Dump {
  const texts = dump.rows.map(({ text }) => text);
  for (const { row, start, end, text } of formatRows(dump, first, last, how))
    texts[row] = (texts[row] as string).slice(0, start) + text + (texts[row] as string).slice(end);
  return bindText(name, texts.join(''), dump.profile);
}

/** Everything that a dump says, without how it is spaced. */
function said({ rows }: Dump): unknown {
  return rows.map((row) => {
    const lineEnd = /[\r\n]*$/.exec(row.text)?.[0];
    const note = row.kind === 'record' ? /#.*/.exec(row.text)?.[0].trimEnd() : '';
    switch (row.kind) {
      case 'record':
        return [row.label, row.type, ...bytesOf(row), note, lineEnd];
      case 'header':
        return [row.name, row.value, lineEnd];
      case 'comment':
        return [row.text.trim(), lineEnd];
      default:
        return [row.kind, row.text.trim(), lineEnd];
    }
  });
}

function holds(name: string, text: string, profile: Profile, how: Format): void {
  const before = bindText(name, text, profile);
  const after = formattedDump(before, name, how);
  assert.deepEqual(said(after), said(before));
  assert.equal(textOfRows(formattedDump(after, name, how).rows), textOfRows(after.rows), 'once is enough');
}

describe('laws of formatting', () => {
  it('bytes, labels, headers, comments and line ends of dump text stay what they are, and once is enough', () => {
    const profile = demoProfile('rear-body');
    fc.assert(fc.property(dumpText, format, (text, how) => holds('a.cfgdump', text, profile, how)));
  });

  it('the same for memory images', () => {
    const { profile } = readProfile('{ "format": 1 }');
    fc.assert(fc.property(images, format, ({ name, text }, how) => holds(name, text, profile, how)));
  });

  it('the same for a text of another program', () => {
    fc.assert(fc.property(patternText, format, (text, how) => holds('a.cfgdump', text, pattern, how)));
  });

  it('a part is formatted like the whole', () => {
    const profile = demoProfile('rear-body');
    fc.assert(
      fc.property(dumpText, format, fc.nat(6), fc.nat(6), (text, how, first, length) => {
        const dump = bindText('a.cfgdump', text, profile);
        const whole = formatRows(dump, 0, dump.rows.length, how);
        const part = formatRows(dump, first, first + length, how);
        assert.deepEqual(
          part,
          whole.filter(({ row }) => row >= first && row <= first + length),
        );
      }),
    );
  });
});
