import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { phrase } from '../../../shared-core/src/base/index.js';
import type { ProblemCode } from '../../../shared-core/src/checks/diagnostics.js';
import { checkDump, DIAGNOSTICS, type Severity, shownProblems } from '../../../shared-core/src/checks/index.js';
import { readRetrofit } from '../../../shared-core/src/jobs/readRetrofit.js';
import { bindText } from '../../../shared-core/src/model/index.js';
import { sealOf } from '../../../shared-core/src/model/seal.js';
import { EMPTY_PROFILE, readProfile } from '../../../shared-core/src/profile/index.js';
import { evidenceProblems } from '../../../shared-core/src/workspace/jsonProblems.js';
import { loaded, SOUND } from '../../support/loaded.js';
import { EMPTY, record, slotted, torn } from '../../support/slots.js';
import { END, IMAGE, IMAGE_RECORDS, image, LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

interface Given {
  readonly code: ProblemCode;
  readonly severity?: Severity;
}

const profile = profileOf(LINES);
const inLines = (from: string | RegExp, to: string) => {
  assert.ok(LINES_TEXT.search(from) >= 0);
  return checkDump(loaded(lines(profile, LINES_TEXT.replace(from, to)), SOUND));
};
const withHead = (head: string) => checkDump(loaded(lines(profile, head + LINES_TEXT), SOUND));
const inImage = (...records: readonly string[]) => checkDump(loaded(image(EMPTY_PROFILE, ...records)));
const inRecords = (text: string) => checkDump(loaded(bindText('a.s19', text, EMPTY_PROFILE)));
const withBackup = (text: string, old: string) =>
  checkDump(loaded(lines(profile, `@backup old.cfgdump\n${text}`), SOUND, { kind: 'read', dump: lines(profile, old) }));
const needing = profileOf({
  ...LINES,
  options: [
    { id: 'fog', title: 'Fog', line: 2, byte: 1, values: { 0: 'no', 1: 'yes' }, needs: [{ option: 'tow', in: [1] }] },
    { id: 'tow', title: 'Tow', line: 2, byte: 2, number: { max: 1 } },
    { id: 'key', title: 'Key', line: 2, byte: 3, values: { 1: 'on' } },
  ],
});
const withOptions = () => checkDump(loaded(lines(needing, LINES_TEXT), SOUND));

/** For each code the least that gives it. */
const GIVEN: Readonly<Record<ProblemCode, () => readonly Given[]>> = {
  'not-hex': () => inLines('00 00 00', '00 00 0x'),
  'odd-digits': () => inLines('00 00 00', '00 00 0'),
  'text-unreadable': () => inLines('3:', '?'),
  'form-unknown': () => checkDump(loaded(lines(EMPTY_PROFILE, 'RE-01 = 04 1A *1E\nRE-02 = 14 0A *1E\n'))),
  'line-not-read': () => {
    const learned = profileOf({ ...LINES, totals: [], notation: { pattern: 'RE-{label} = {data} *{sum}' } });
    return checkDump(loaded(lines(learned, 'RE-1 = A1 B2 C3 *16\nCHECK = 699B\n'), SOUND));
  },
  'line-length': () => inLines('00 00 00', '00 00'),
  'line-missing': () => inLines(/^3:.*\n/m, ''),
  'line-repeated': () => inLines('3:', '2:'),
  'line-order': () => inLines(/^(1:.*\n)(2:.*\n)/, '$2$1'),
  'line-unknown': () => inLines('3:', '4:'),
  'address-missing': () => checkDump(loaded(image(profileOf(IMAGE), IMAGE_RECORDS[0], END), SOUND)),
  'copy-differs': () => {
    const copied = profileOf({ ...LINES, totals: [], copies: [{ place: { line: 1, byte: 1 }, at: [2] }] });
    return checkDump(loaded(lines(copied, LINES_TEXT.replace(/^2: ../m, '2: FF')), SOUND));
  },
  'slot-unclear': () => checkDump(loaded(slotted([record(7), record(7), record(6)]), SOUND)),
  'slot-torn': () => checkDump(loaded(slotted([record(7), torn(5), record(6)]), SOUND)),
  'slot-stale': () => checkDump(loaded(slotted([record(7), record(8), record(6)]), SOUND)),
  'slot-empty': () => checkDump(loaded(slotted([record(7), record(8), EMPTY]), SOUND)),
  'header-unknown': () => withHead('@colour 1\n'),
  'header-repeated': () => withHead('@part A\n@part B\n'),
  'header-word': () => withHead('@word 2Le\n'),
  'header-value': () => withHead('@taken 2026-02-31T10:00:00Z\n'),
  'header-empty': () => withHead('@vin\n'),
  'record-type': () => inImage(':0100000601F8', END),
  'record-length': () => inImage(':02000000FF', END),
  'no-data': () => inImage(END),
  'end-missing': () => inImage(IMAGE_RECORDS[0]),
  'end-counted': () => inRecords('S104000001FA\nS5030001FB\n'),
  'end-repeated': () => inImage(IMAGE_RECORDS[0], END, END),
  'data-after-end': () => inImage(END, IMAGE_RECORDS[0]),
  overlap: () => inImage(IMAGE_RECORDS[0], IMAGE_RECORDS[0], END),
  'address-wrap': () => inImage(':02FFFF00000000', END),
  'address-unknown': () => checkDump(loaded(bindText('a.titxt', '31 32\nq\n', EMPTY_PROFILE))),
  'record-count': () => inRecords('S104000001FA\nS5030002FA\nS9030000FC\n'),
  'line-sum': () => inLines('| 11', '| 12'),
  'total-sum': () => inLines('02 27', '02 28'),
  'total-missing': () => inLines(/^total.*\n/m, ''),
  'not-checked': () => inLines(/^3:.*\n/m, ''),
  'nothing-yet': () => checkDump(loaded(lines(profile, '@note\n'), SOUND)),
  'no-profile': () => checkDump(loaded(lines(EMPTY_PROFILE, LINES_TEXT))),
  'profile-unreadable': () =>
    checkDump(loaded(lines(EMPTY_PROFILE, LINES_TEXT), { kind: 'unreadable', why: phrase('0.5') })),
  'profile-stale': () =>
    checkDump(loaded(lines(profile, LINES_TEXT), { kind: 'unreadable', why: phrase('0.5'), isStale: true })),
  'option-evidence': () =>
    evidenceProblems(
      profileOf({
        ...LINES,
        options: [
          { ...LINES.options[0], confidence: 'confirmed', seen: [{ date: '2024-02-29', how: 'set-and-tried' }] },
        ],
      }),
    ),
  'profile-invalid': () => checkDump(loaded(lines(readProfile('{}').profile, LINES_TEXT), SOUND)),
  'profile-other-module': () =>
    checkDump(loaded(lines({ ...profile, appliesTo: { part: ['A'], software: [] } }, `@part B\n${LINES_TEXT}`), SOUND)),
  'profile-unconfirmed': () =>
    checkDump(loaded(lines({ ...profile, appliesTo: { part: ['A'], software: [] } }, LINES_TEXT), SOUND)),
  'option-value': withOptions,
  'option-range': withOptions,
  'option-needs': withOptions,
  'backup-unreadable': () =>
    checkDump(loaded(lines(profile, `@backup b\n${LINES_TEXT}`), SOUND, { kind: 'unreadable', why: phrase('0.5') })),
  'backup-invalid': () => withBackup(LINES_TEXT, '# nothing\n'),
  'backup-other-vehicle': () => withBackup(`@vin 1\n${LINES_TEXT}`, `@vin 2\n${LINES_TEXT}`),
  'backup-unconfirmed': () => withBackup(`@vin 1\n${LINES_TEXT}`, LINES_TEXT),
  'locked-changed': () => withBackup(LINES_TEXT.replace('A1', 'A2'), LINES_TEXT),
  'security-changed': () => withBackup(LINES_TEXT.replace('01 10', '01 20'), LINES_TEXT),
  'seal-broken': () => {
    const seal = sealOf(lines(profile, LINES_TEXT.replace('A1', 'A2')));
    return withHead(`@seal ${seal}\n`);
  },
  'vin-characters': () => withHead('@vin 1\n'),
  'vin-check-digit': () => withHead('@vin 0DEM0T4X1TA020418\n'),
  'retrofit-unreadable': () => readRetrofit('{').problems,
  'retrofit-invalid': () => readRetrofit('{}').problems,
  'more-problems': () => shownProblems(inImage(...Array<string>(1001).fill(':0100000000FE'), END)),
};

describe('the table of diagnostics', () => {
  for (const [code, given] of Object.entries(GIVEN)) {
    it(`has ${code}, which is given with its severity`, () => {
      const found = given().find((one) => one.code === code);
      assert.ok(found, code);
      const { severity } = DIAGNOSTICS[code as ProblemCode];
      assert.equal(found.severity ?? severity, severity);
    });
  }

  it('has the codes of profiles too', () => {
    for (const [text, code] of [
      ['{', 'profile-unreadable'],
      ['{}', 'profile-invalid'],
    ] as const)
      assert.equal(readProfile(text).problems[0]?.code, code);
  });
});
