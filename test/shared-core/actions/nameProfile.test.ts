// Which profile a dump without one comes to name by itself, and why it does not: a wrong one would be trusted.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { boundBy, explainsWhole, isExplainedWhole, whyNotNamed } from '../../../shared-core/src/actions/nameProfile.js';
import { say } from '../../../shared-core/src/base/index.js';
import { bindText, bindWithHeaders } from '../../../shared-core/src/model/index.js';
import { sealOf } from '../../../shared-core/src/model/seal.js';
import { EMPTY_PROFILE, readProfile } from '../../../shared-core/src/profile/index.js';
import { END, IMAGE, IMAGE_RECORDS, LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

const PROFILE = profileOf(LINES);
const unbound = (text: string, name = 'x.cfgdump') => bindText(name, text, EMPTY_PROFILE);

describe('a profile explains a whole dump', () => {
  const explains = (text: string, json: object = LINES) => explainsWhole(profileOf(json), unbound(text), 'x.cfgdump');

  it('where every line is one of its own and every sum is right', () => {
    assert.ok(explains(LINES_TEXT));
    assert.ok(explains(`@part A\n# a remark\n${LINES_TEXT}`));
    const { totals, ...lineSums } = LINES;
    const { lineSum, ...fileSum } = LINES;
    assert.ok(explains(LINES_TEXT.replace(/total.*\n/, ''), lineSums));
    const summed = { ...fileSum, lines: { ...LINES.lines, sum: 0, data: 4 } };
    assert.ok(explains(LINES_TEXT.replace('02 27', '02 4E'), { ...summed, locked: [], options: [], balance: [] }));
    void [totals, lineSum];
  });

  it('not where a line is missing, is another one, stands twice or cannot be read, or a sum is wrong or missing', () => {
    for (const text of [
      LINES_TEXT.replace('| 11', '| 12'),
      LINES_TEXT.replace('02 27', '02 28'),
      LINES_TEXT.replace(/total.*\n/, ''),
      LINES_TEXT.replace(/3: .*\n/, ''),
      `${LINES_TEXT}3: 00 00 00 | 00\n`,
      `${LINES_TEXT}4: 00 00 00 | 00\n`,
      LINES_TEXT.replace('00 00 00', '0O 00 00'),
      '',
    ])
      assert.ok(!explains(text), text);
  });

  it('not where it knows no sums, as lines of that form are in dumps of any module', () => {
    const { lineSum, totals, balance, ...silent } = LINES;
    const plain = { ...silent, lines: { ...LINES.lines, sum: 0, data: 4 } };
    const text = LINES_TEXT.replace(/total.*\n/, '');
    assert.ok(!explains(text, plain));
    assert.ok(!isExplainedWhole(lines(profileOf(plain), text)));
    void [lineSum, totals, balance];
  });

  it('read as its own lines are written, or else as the name and the text say', () => {
    const { profile } = readProfile(
      JSON.stringify({ format: 1, ...LINES, notation: { pattern: 'L{label} = {data}' } }),
    );
    const text = LINES_TEXT.replace(/^(\d): /gm, 'L$1 = ')
      .replace('total: ', 'Ltotal = ')
      .replaceAll(' |', '');
    assert.ok(explainsWhole(profile, unbound(text), 'x.cfgdump'));
    // A dump that was read by such lines so far.
    const read = bindText('x.hex', [...IMAGE_RECORDS, END, ''].join('\n'), profile);
    assert.equal(boundBy(profileOf(IMAGE), read, 'x.hex').layout.kind, 'image');
    assert.ok(explainsWhole(profileOf(IMAGE), read, 'x.hex'));
  });
});

describe('a dump that a profile explains', () => {
  const why = (text: string, json: object = LINES) => {
    const said = whyNotNamed(unbound(text), profileOf(json));
    return said === undefined ? '' : say(said);
  };

  it('comes to name it, but where it is sealed, of another module, or has a profile', () => {
    assert.equal(why(LINES_TEXT), '');
    assert.equal(why(`@use comparison\n${LINES_TEXT}`), '', 'its lines are compared by a profile too');
    for (const [head, words] of [
      [`@seal ${sealOf(unbound(LINES_TEXT))}`, /^it is sealed\.$/],
      ['@use another-module', /^it is of none of the modules here/],
      ['@use comparision', /comparision/],
      ['@profile p', /^it names p already\.$/],
    ] as const)
      assert.match(why(`${head}\n${LINES_TEXT}`), words);
    const applies = { ...LINES, appliesTo: { part: ['RB-*'] } };
    assert.match(why(`@part MX-1\n${LINES_TEXT}`, applies), /MX-1/);
    assert.equal(why(`@part RB-1\n${LINES_TEXT}`, applies), '');
  });

  it('of a form without a place for headers names it only beside the file', () => {
    const view = '00000000: 11 22 33 44 55 66 77 88 99 aa bb cc dd ee ff 00  ."3DUfw.........\n';
    const dump = bindWithHeaders('x.xxd', view, EMPTY_PROFILE);
    const said = whyNotNamed(dump, PROFILE);
    assert.match(said === undefined ? '' : say(said), /no place for headers/);
    assert.equal(whyNotNamed(dump, PROFILE, { beside: true }), undefined);
  });
});
