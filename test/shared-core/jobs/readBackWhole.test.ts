import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { phrase, say } from '../../../shared-core/src/base/index.js';
import { checkDump } from '../../../shared-core/src/checks/index.js';
import {
  jobCard,
  type ModulePlan,
  type NamedDump,
  planPage,
  readBackPage,
  vehicleRecord,
  verdictInWords,
  verifyReadBack,
} from '../../../shared-core/src/jobs/index.js';
import type { Dump } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';
import { LATER } from '../../support/later.js';
import { loaded, SOUND } from '../../support/loaded.js';
import { END, IMAGE, IMAGE_RECORDS, image, LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

const PROFILE = profileOf(LINES);
const FOUND = lines(PROFILE, `@vin 0DEM0T4X5TA020418\n@part RB\n${LINES_TEXT}`);
/** The immobiliser is switched off: all sums fit, and yet nobody may write this. */
const OFF = lines(
  PROFILE,
  `@vin 0DEM0T4X5TA020418\n@part RB\n@backup found.cfgdump\n${LINES_TEXT.replace('01 10 00 | 11', '01 00 10 | 11')}`,
);
const named = (name: string, dump: Dump): NamedDump => ({
  name,
  dump,
  problems: checkDump(loaded(dump, SOUND)),
  unchecked: [],
});
const texts = (said: readonly Parameters<typeof say>[0][]) => said.map((one) => say(one));

describe('a read-back that was not read whole', () => {
  it('is no proof where the sum of a record is wrong that the plan has cut otherwise, and that is not called planned', () => {
    const profile = profileOf({ addresses: IMAGE.addresses });
    const whole = image(profile, ...IMAGE_RECORDS, END);
    const torn = image(profile, ...IMAGE_RECORDS, END.replace(/FF$/, 'FE'));
    for (const [planned, read] of [
      [whole, torn],
      [torn, whole],
    ] as const) {
      const { matches, isProof, wrongInPlan } = verifyReadBack(planned, read, undefined);
      assert.deepEqual([matches, isProof, wrongInPlan], [false, false, []]);
    }
  });

  it('is never what was planned, and says which side it is', () => {
    const profile = profileOf({ addresses: IMAGE.addresses });
    const whole = image(profile, ...IMAGE_RECORDS, END);
    assert.equal(verifyReadBack(whole, whole, undefined).matches, true);
    const [first, , third] = IMAGE_RECORDS;
    const gap = image(profile, first, third, END);
    const cut = image(profile, ...IMAGE_RECORDS);
    for (const [planned, read, words] of [
      [gap, gap, 'The plan was not read whole: address 0014–0017 is missing (gaps in all: 1).'],
      [whole, cut, /^What was read from the module is not whole: row 3: The end record/],
    ] as const) {
      const verification = verifyReadBack(planned, read, undefined);
      assert.equal(verification.matches, false);
      assert.ok(
        texts(verification.unmatched).some((one) => (typeof words === 'string' ? one === words : words.test(one))),
      );
      assert.match(say(verdictInWords(verification)), /^This cannot be verified, as not everything was read/);
    }
  });

  it('is read by the profile of the plan, whatever it names itself', () => {
    const bare = lines(EMPTY_PROFILE, LINES_TEXT);
    assert.equal(verifyReadBack(FOUND, bare, undefined).matches, true);
    assert.equal(
      verifyReadBack(FOUND, lines(profileOf({}), LINES_TEXT.replace(/^3:.*\n/m, '')), undefined).matches,
      false,
    );
  });
});

describe('a security byte that differs', () => {
  it('in a read-back says first that this is another module, and names its cause', () => {
    const verification = verifyReadBack(FOUND, OFF, undefined);
    assert.match(
      say(verdictInWords(verification)),
      /^Byte 2 of line 2 differs.*This is not the read-back of this plan\.$/,
    );
    assert.match(
      say(verification.lines[0]?.cause ?? { pattern: '', parts: [] }),
      /^Byte 2 concerns the security of the vehicle/,
    );
  });

  it('is never put aside because it also changes by itself', () => {
    const shared = {
      ...PROFILE,
      volatile: [
        ...PROFILE.volatile,
        { place: { kind: 'line', line: 2, byte: 2, count: 1 }, why: 'x', source: { start: 0, end: 0 } },
      ],
    } as const;
    const [one, other] = [
      lines(shared, LINES_TEXT),
      lines(shared, LINES_TEXT.replace('01 10 00 | 11', '01 20 00 | 21')),
    ];
    assert.equal(verifyReadBack(one, other, undefined).matches, false);
  });

  it('is the first matter of a job card, which says not to write', () => {
    const { open, text } = jobCard(
      {
        modules: [{ before: named('found.cfgdump', FOUND), after: named('work.cfgdump', OFF), change: undefined }],
        retrofit: undefined,
        time: '2026-03-02T10:05:00Z',
      },
      (said) => say(said),
    );
    assert.match(texts(open)[0] ?? '', /^work\.cfgdump: Do not write this: Byte 2 of line 2 holds "Immobiliser"/);
    assert.match(text, /security: do not write/);
  });

  it('is the first thing on the page of a plan', () => {
    const says = phrase('x');
    const change = {
      edits: [],
      after: OFF,
      writes: [],
      says,
      cautions: [],
      inShort: undefined,
      balanced: undefined,
      sums: { left: [], unchecked: [] },
    };
    const module: ModulePlan = { file: 'a', name: 'work.cfgdump', before: FOUND, change, options: [] };
    const page = say(
      planPage(
        { title: 'x', before: [], changes: [], after: [], try: [], cautions: [] },
        { title: '1' },
        { kind: 'planned', modules: [module], aside: [] },
      ),
    );
    assert.match(page, /## RB\n\nwork\.cfgdump\n\n- \*\*Do not write this: Byte 2 of line 2 holds "Immobiliser"/);
  });

  it('is the first change in the record of the vehicle', () => {
    const dumps = [named('found.cfgdump', FOUND), named('work.cfgdump', OFF)];
    const { text } = vehicleRecord({ dumps, retrofits: [], cards: [], now: LATER }, (said) => say(said));
    assert.match(text, /\*\*in work\*\* · work\.cfgdump\n {2}- Do not write this: Byte 2 of line 2/);
  });
});

describe('pages about dumps that were not read whole', () => {
  const torn = lines(
    PROFILE,
    `@vin 0DEM0T4X5TA020418\n@part RB\n@backup found.cfgdump\n${LINES_TEXT}3: 00 00 00 | 00\n`,
  );

  it('say so, and that it is not known what changed', () => {
    const input = { retrofit: undefined, time: '2026-03-02T10:05:00Z' };
    const cardOf = (after: Dump) =>
      jobCard(
        {
          ...input,
          modules: [{ before: named('found.cfgdump', FOUND), after: named('work.cfgdump', after), change: undefined }],
        },
        (said) => say(said),
      );
    assert.deepEqual([cardOf(FOUND).isWhole, cardOf(torn).isWhole], [true, false]);
    assert.ok(!texts(cardOf(torn).open).some((one) => /nothing is changed/.test(one)));
    const recordOf = (work: Dump) =>
      vehicleRecord(
        { dumps: [named('found.cfgdump', FOUND), named('work.cfgdump', work)], retrofits: [], cards: [], now: LATER },
        (said) => say(said),
      );
    assert.equal(recordOf(torn).isWhole, false);
    assert.doesNotMatch(recordOf(torn).text, /The same bytes as/);
    assert.ok(texts(recordOf(torn).open).some((one) => /^Whether work\.cfgdump is changed cannot be told/.test(one)));
    const page = readBackPage(
      verifyReadBack(FOUND, torn, undefined),
      { name: 'a', dump: FOUND },
      { name: 'b', dump: torn },
      (said) => say(said),
    );
    assert.match(page, /✗ \*\*This cannot be verified/);
  });
});
