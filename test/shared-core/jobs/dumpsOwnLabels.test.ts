// Cards, plans, records and read-backs name lines as the dump itself does, so that a person finds them in its text.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { backupCopy } from '../../../shared-core/src/actions/backup.js';
import { changeInFull } from '../../../shared-core/src/actions/changeInFull.js';
import { placeToBalance } from '../../../shared-core/src/actions/repair.js';
import { type PhrasePart, phrase, say } from '../../../shared-core/src/base/phrase.js';
import { checkDump } from '../../../shared-core/src/checks/checkDump.js';
import { leftInWords, sumsLeft } from '../../../shared-core/src/checks/sumsLeft.js';
import { compareDumps } from '../../../shared-core/src/compare/compareDumps.js';
import { linesInWords } from '../../../shared-core/src/compare/comparisonInWords.js';
import { compareMany } from '../../../shared-core/src/compare/manyDumps.js';
import { manyInWords } from '../../../shared-core/src/compare/manyInWords.js';
import { namedDump } from '../../../shared-core/src/jobs/card/input.js';
import { jobCard } from '../../../shared-core/src/jobs/card/jobCard.js';
import { verificationInWords } from '../../../shared-core/src/jobs/verify/inWords.js';
import { verifyReadBack } from '../../../shared-core/src/jobs/verify/verify.js';
import { bindText, type Dump } from '../../../shared-core/src/model/dump.js';
import { labelOfRow } from '../../../shared-core/src/model/layout.js';
import { calledLine, labelMeant, lineCalled, lineName } from '../../../shared-core/src/model/lineName.js';
import { optionPlaceInWords } from '../../../shared-core/src/options/inWords.js';
import { EMPTY_PROFILE, readProfile } from '../../../shared-core/src/profile/readProfile.js';
import { loaded } from '../../support/loaded.js';
import { profileOf } from '../../support/smallDumps.js';

const dumpOf = (pattern: string, text: string, total = 'SUM {data}'): Dump => {
  const { profile, problems } = readProfile(
    JSON.stringify({
      format: 1,
      notation: { pattern },
      lines: { from: 1, to: 2, data: 2, sum: 1 },
      lineSum: { method: 'add', bits: 8, over: ['data'] },
      totals: [{ name: 'file sum', label: 'total', pattern: total, method: 'add', bits: 16, over: ['data'] }],
    }),
  );
  assert.deepEqual(problems, []);
  return bindText('a.cfgdump', `@vehicle stock 77\n@taken 2026-11-20T10:15:00Z\n${text}`, profile);
};
const called = (pattern: string, text: string) => {
  const dump = dumpOf(pattern, text);
  return dump.rows.flatMap((row, at) => (row.kind === 'record' ? lineCalled(dump, at) : []));
};

describe("the dump's own labels", () => {
  it('are what is before the bytes of a line, or else its number', () => {
    assert.deepEqual(called('L{label} {data}', 'L01  10 20  30\nL02  01 02  03\nSUM 0033\n'), ['L01', 'L02', 'SUM']);
    assert.deepEqual(called('{label:hex} > {data}', '01 > 10 20 30\n02 > 01 02 03\nSUM 0033\n'), ['01', '02', 'SUM']);
    assert.deepEqual(called('Line no. {label}: {data}', 'Line no. 1: 10 20 30\nLine no. 2: 01 02 03\nSUM 0033\n'), [
      '1',
      '2',
      'SUM',
    ]);
  });

  it('are all words before a sum that has no number', () => {
    const text = 'L01  10 20  30\nL02  01 02  03\n';
    const calledBy = (total: string, row: string) => lineCalled(dumpOf('L{label} {data}', text + row, total), 4);
    assert.equal(calledBy('END SUM {data}', 'END SUM 0033\n'), 'END SUM');
    assert.equal(calledBy('SUM OF THE WHOLE TEXT {data}', 'SUM OF THE WHOLE TEXT 0033\n'), 'total');
  });

  it('are the addresses of a memory image, wherever a wrong sum of a record stands in the way', () => {
    const dump = bindText('a.hex', ':0401300001020304C0\n:00000001FF\n', EMPTY_PROFILE);
    const checked = loaded(dump, { kind: 'none' });
    const copy = backupCopy({ ...checked, name: 'a.hex' });
    assert.match(copy.ok ? '' : say(copy.why), /the sum of line 0130 is wrong/);
    assert.match(say(leftInWords(sumsLeft(checked))), /The sum of line 0130 is wrong/);
  });

  it('stand in the card, in the read-back and where a change is asked about alike', () => {
    const before = dumpOf('L{label} {data}', 'L01  10 20  30\nL02  01 02  03\nSUM 0033\n');
    const after = dumpOf('L{label} {data}', 'L01  10 20  30\nL02  01 04  05\nSUM 0035\n');
    const module = {
      before: namedDump('a', loaded(before, { kind: 'read' })),
      after: namedDump('b', loaded(after, { kind: 'read' })),
      change: undefined,
    };
    const { text } = jobCard(
      { modules: [module], retrofit: undefined, time: '2026-11-20T12:00:00Z' },
      (said: PhrasePart) => say(said as never),
    );
    assert.match(text, /\| \*\*L02\*\* \|/);
    assert.match(text, /\| \*\*SUM\*\* \|/);
    const said = verificationInWords(verifyReadBack(after, before, undefined)).map((one) => say(one));
    assert.match(said[0] ?? '', /Other than planned: line L02, SUM\./);
    assert.match(
      changeInFull(before, after)
        .map((one) => say(one))
        .join('\n'),
      /Line L02, byte 2: 02 → 04 .*; Line SUM, byte 2: 33 → 35/,
    );
    assert.match(said.join('\n'), /^Line L02: byte 2 is 02, not 04/m);
  });

  it('stand in a table of more dumps than two, in what is out of order, and in what is put in or taken out', () => {
    const text = 'L01  10 20  30\nL02  01 02  03\nSUM 0033\n';
    const first = dumpOf('L{label} {data}', text);
    const other = dumpOf('L{label} {data}', text.replace('01 02  03', '01 04  05').replace('33', '36'));
    const all = [first, other, first].map((dump, at) => ({ name: `${at}`, dump }));
    const { rows } = manyInWords(all, compareMany(first, [other, first]));
    assert.deepEqual(
      rows.map(({ title }) => say(title)),
      ['Line L02, byte 2', 'Line SUM, byte 2'],
    );
    assert.equal(say(lineName(first, 2)), 'Line L02');
    const swapped = dumpOf('L{label} {data}', 'L02  01 02  03\nL01  10 20  30\nSUM 0033\n');
    const read = verificationInWords(
      verifyReadBack(bindText('plan.cfgdump', text, first.profile), swapped, undefined),
    ).map((one) => say(one));
    assert.match(read.join('\n'), /Line L02 is out of order in what was read/);
    const gap = dumpOf('L{label} {data}', 'L01  10 20  30\nSUM 0033\n');
    assert.deepEqual(
      changeInFull(gap, first)
        .map((one) => say(one))
        .slice(-1),
      ['Put in: L02'],
    );
    assert.deepEqual(
      linesInWords(compareDumps(gap, first)).map((one) => say(one)),
      ['Line L02 is new.'],
    );
    assert.deepEqual(
      linesInWords(compareDumps(first, gap)).map((one) => say(one)),
      ['Line L02 is missing now.'],
    );
    assert.deepEqual(
      changeInFull(first, gap)
        .map((one) => say(one))
        .slice(-1),
      ['Taken out: L02'],
    );
  });

  it('are what a person writes, before any number: in hex, 10 is the line that is shown so', () => {
    const { profile } = readProfile(
      JSON.stringify({
        format: 1,
        notation: { pattern: '{label:hex}) {data}' },
        lines: { from: 1, to: 16, data: 1 },
        totals: [{ name: 'file sum', label: 'total', pattern: 'ALL: {data}', method: 'add', bits: 16, over: ['data'] }],
      }),
    );
    const text = Array.from({ length: 16 }, (_, at) => `${(at + 1).toString(16).padStart(2, '0').toUpperCase()}) 00\n`);
    const dump = bindText('a.cfgdump', `${text.join('')}ALL: 0000\n`, profile);
    const meant = (written: string) =>
      labelMeant(
        dump,
        dump.rows.flatMap((row) => labelOfRow(row) ?? []),
        written,
      );
    assert.deepEqual(['0A', '10', '9', '0x0A', 'ALL', 'total', '17', 'all lines'].map(meant), [
      10,
      16,
      9,
      10,
      'total',
      'total',
      undefined,
      undefined,
    ]);
    assert.deepEqual(placeToBalance(dump, '10'), { ok: true, value: { row: 15 } });
    assert.deepEqual(placeToBalance(dump, '0A'), { ok: true, value: { row: 9 } });
    assert.equal(placeToBalance(dump, 'ALL').ok, false);
  });

  it('are never taken for the number of another line, whatever is before their digits', () => {
    const meantIn = (pattern: string, ...called: readonly string[]) => {
      const isOfTwo = /\}.*\{label/.test(pattern);
      const sections = [1, 2].map((block) => ({ from: `${block}-1`, to: `${block}-9`, data: 1 }));
      const profile = profileOf({ notation: { pattern }, lines: isOfTwo ? sections : { from: 1, to: 32, data: 1 } });
      const dump = bindText('a.cfgdump', called.map((name) => `${name} = 01\n`).join(''), profile);
      const labels = dump.rows.flatMap((row) => labelOfRow(row) ?? []);
      return (written: string) => {
        const label = labelMeant(dump, labels, written);
        return label === undefined ? undefined : calledLine(dump, label);
      };
    };
    const inHex = meantIn('r{label:hex} = {data}', 'r08', 'r0A', 'r10');
    assert.deepEqual(['10', '16', 'A', '0a', '8', '0x0A', 'r10', 'R10'].map(inHex), [
      ...['r10', undefined, 'r0A', 'r0A', 'r08', 'r0A', 'r10', undefined],
    ]);
    assert.equal(meantIn('r{label:hex} = {data}', 'r08', 'r0A')('10'), undefined);
    assert.deepEqual(['7', '07', '17'].map(meantIn('B{label} = {data}', 'B07', 'B17')), ['B07', 'B07', 'B17']);
    const ofTwo = meantIn('B{label}/R{label} = {data}', 'B1/R03', 'B2/R03', 'B2/R04');
    assert.deepEqual(['2-3', '03', '4'].map(ofTwo), ['B2/R03', undefined, 'B2/R04']);
  });

  it('stand in problems and where options are, also of a line that is not there, where the others show how', () => {
    const wrong = dumpOf('L{label} {data}', 'L01  10 20  31\nL02  01 02  03\nSUM 0033\n');
    assert.match(say(checkDump(loaded(wrong, { kind: 'read' }))[0]?.message ?? phrase('')), /^Line L01: its sum is 31/);
    const [first, third] = [1, 3].map((line) => ({
      parts: [{ place: { kind: 'line', line, byte: 2, count: 1 } as const, bits: undefined }],
    }));
    assert.equal(say(optionPlaceInWords(first ?? { parts: [] }, wrong)), 'Line L01, byte 2');
    assert.equal(say(optionPlaceInWords(third ?? { parts: [] }, wrong)), 'Line L03, byte 2');
    assert.equal(say(optionPlaceInWords(first ?? { parts: [] })), 'Line 1, byte 2');
    const gap = dumpOf('L{label} {data}', 'L02  01 02  03\nSUM 0033\n');
    const said = checkDump(loaded(gap, { kind: 'read' })).map(({ message }) => say(message));
    assert.ok(said.includes('Line L01 is missing.'), said.join('\n'));
    assert.ok(said.includes('The file sum cannot be checked: line L01 is missing (1 in all).'), said.join('\n'));
    const odd = dumpOf('L{label} {data}', 'L02  01 02  03\nL01  10 20  30\nL01  10 20\n');
    const oddly = checkDump(loaded(odd, { kind: 'read' })).map(({ message }) => say(message));
    for (const start of [
      'Line L01 is here a second time',
      'Line L02 is out of order here',
      'The file sum is missing: no line "SUM"',
    ])
      assert.ok(
        oddly.some((one) => one.startsWith(start)),
        oddly.join('\n'),
      );
    const long = dumpOf('L{label} {data}', 'L01  10 20  30 40\nL02  01 02  03\nSUM 003344\n');
    const tooLong = checkDump(loaded(long, { kind: 'read' })).map(({ message }) => say(message));
    for (const start of ['Line L01 has a length of 4', 'The file sum in line "SUM" has a length of 3'])
      assert.ok(
        tooLong.some((one) => one.startsWith(start)),
        tooLong.join('\n'),
      );
    const inHex = dumpOf('{label:hex} > {data}', '02 > 01 02 03\n');
    assert.equal(calledLine(inHex, 12), '0C');
    assert.equal(calledLine(inHex, 'total'), 'SUM');
    const notation = { pattern: 'B{label}/R{label}: {data} | {sum}' };
    const lines = { from: '1-1', to: '1-9', data: 2, sum: 1 };
    const ofTwo = bindText('a.cfgdump', 'B1/R01: 01 02 | 03\n', profileOf({ notation, lines }));
    assert.equal(calledLine(ofTwo, '2-3'), 'B2/R03');
    assert.equal(labelMeant(ofTwo, ['1-1', '2-3'], 'B2/R03'), '2-3');
    // With more words than one, its number says it.
    const inWords = dumpOf('Line no. {label}: {data}', 'Line no. 1: 10 20 30\n');
    assert.equal(calledLine(inWords, 2), '2');
  });
});
