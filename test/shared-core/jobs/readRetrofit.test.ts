import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { Ajv } from 'ajv';
import fc from 'fast-check';
import { parse } from 'jsonc-parser';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { readRetrofit } from '../../../shared-core/src/jobs/readRetrofit.js';
import { demoFile } from '../../support/demo.js';

const accepts = new Ajv({ strict: false }).compile(JSON.parse(readFileSync('syntaxes/retrofit.schema.json', 'utf8')));

/** Each with the place of its one problem between « and », and whether a schema can see what is wrong. */
const WRONG: readonly (readonly [marked: string, message: RegExp, inSchema: boolean])[] = [
  ['«{»"format": 1}', /"changes" is missing/, true],
  ['{"format": «2», "changes": [{"profile": "a", "set": {"x": 1}}]}', /not known here/, true],
  ['«{»"changes": [{"profile": "a", "set": {"x": 1}}]}', /"format": 1 is missing/, true],
  ['{"format": 1, "changes": [{"profile": "a", "set": {"x": 1}}], «"befor"»: []}', /"before" is probably meant/, true],
  ['{"format": 1, "changes": [«{»"set": {"x": 1}}]}', /"profile" is missing/, true],
  ['{"format": 1, "changes": [«{»"profile": "a"}]}', /"set" is missing/, true],
  ['{"format": 1, "changes": [{"profile": "a", "set": {"x": «true»}}]}', /words of the value/, true],
  ['{"format": 1, "changes": [{"profile": "a", "set": {"x": 1, «"x"»: 2}}]}', /is given twice/, false],
  [
    '{"format": 1, "changes": [{"profile": "a", "set": {"x": 1}}, {"profile": «"a"», "set": {"x": 1}}]}',
    /put all its options/,
    false,
  ],
  [
    '{"format": 1, "changes": [{"profile": "a", "set": {"x": 1}}], "before": [«{»"unit": "V"}]}',
    /"check" is missing/,
    true,
  ],
  [
    '{"format": 1, "changes": [{"profile": "a", "set": {"x": 1}}], "before": [«{»"check": "a", "min": 1}]}',
    /"unit" is missing/,
    true,
  ],
  [
    '{"format": 1, "changes": [{"profile": "a", "set": {"x": 1}}], "try": [{"check": "a", "unit": "V", "min": 2, "max": «1»}]}',
    /"max" is below "min"/,
    false,
  ],
  ['{"format": 1, "changes": [{"profile": "a", "set": {"x": 1}}], "after": «"off"»}', /A list/, true],
  ['{"format": 1, "changes": [{"profile": "a", "set": {"x": 1}}], "cautions": [«1»]}', /A text in quotes/, true],
  ['{"format": 1, "changes": «[»]}', /changes nothing/, true],
  ['{"format": 1, "changes": [{"profile": "a", "set": «{»}}]}', /Nothing is to be set in this module/, true],
  ['{"format": 1, "changes": [«}»', /no JSON/, false],
];

describe('reading a retrofit', () => {
  it('understands the demo', () => {
    const { retrofit, problems } = readRetrofit(demoFile('trailer-socket.retrofit.json'));
    assert.deepEqual(problems, []);
    assert.deepEqual(
      retrofit?.changes.map(({ profile, set }) => [profile, set.map(({ option, value }) => `${option}=${value}`)]),
      [
        ['rear-body.dump-profile.json', ['rear-fog-cutout=yes', 'trailer-socket=13-pin']],
        ['cluster.dump-profile.json', ['trailer-lamp=shown']],
      ],
    );
    assert.deepEqual(retrofit?.before[2]?.measure, { unit: 'V', min: 12.8, max: 14.8 });
    assert.ok(accepts(parse(demoFile('trailer-socket.retrofit.json'))), JSON.stringify(accepts.errors));
  });

  for (const [marked, message, inSchema] of WRONG) {
    it(`says where it is wrong: ${marked}`, () => {
      const text = marked.replace(/[«»]/g, '');
      const { problems } = readRetrofit(text);
      assert.deepEqual(
        problems.map(({ span }) => span),
        [{ start: marked.indexOf('«'), end: marked.indexOf('»') - 1 }],
      );
      assert.match(problems.map((problem) => say(problem.message)).join(), message);
      if (inSchema) assert.equal(accepts(JSON.parse(text)), false, 'the schema lets it pass');
    });
  }

  it('never throws, and gives no half of a torn file', () => {
    const whole = demoFile('trailer-socket.retrofit.json').trimEnd();
    fc.assert(
      fc.property(fc.nat(whole.length - 1), (length) => {
        const { retrofit, problems } = readRetrofit(whole.slice(0, length));
        assert.equal(retrofit, undefined);
        assert.ok(problems.length > 0);
      }),
    );
    fc.assert(fc.property(fc.json(), (text) => readRetrofit(text).problems.length > 0));
  });
});
