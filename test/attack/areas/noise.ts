import { checkDump } from '../../../shared-core/src/checks/index.js';
import { compareDumps } from '../../../shared-core/src/compare/index.js';
import { contentsOf } from '../../../shared-core/src/convert/contents.js';
import { textOfRows } from '../../../shared-core/src/format/index.js';
import { readRetrofit } from '../../../shared-core/src/jobs/readRetrofit.js';
import { bindText } from '../../../shared-core/src/model/index.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';
import { type Dice, diceOf } from '../../support/dice.js';
import { FAMILY_MEMBERS } from '../../support/family.js';
import { worn } from '../../support/person.js';
import { faultsOf, faultyProfile } from '../../support/profileFaults.js';
import { randomModule } from '../../support/randomModule.js';
import { type Area, failureOf } from '../area.js';

/** Any text as a dump, a profile or a retrofit: every reader answers, keeps what it read, and says where it stands. */
export const noise: Area = {
  name: 'noise',
  share: 25_000,
  open: () => ({ run: async (seed) => readAnything(diceOf(seed), seed) }),
};

function readAnything(dice: Dice, seed: number): string | undefined {
  const member = dice.once(2) ? dice.pick(FAMILY_MEMBERS) : randomModule(seed);
  const json = dice.once(3)
    ? garbled(dice, JSON.stringify(member.profile), 4)
    : faultyProfile(dice, member.profile, dice.pick(faultsOf(member.profile)));
  const { profile } = readProfile(json);
  readRetrofit(garbled(dice, JSON.stringify({ format: 1, changes: [{ profile: 'a', set: { a: 1 } }] }), 3));
  const text = dice.once(2) ? garbled(dice, member.work, 6) : worn(dice, member.work, member.form, dice.int(0, 9));
  const name = dice.pick([member.workFile, 'a.cfgdump', 'a.hex', 'a.s19', 'a.txt']);
  const dump = bindText(name, text, profile);
  const backup = bindText(name, worn(dice, member.backup, member.form, 1), profile);
  const problems = checkDump({
    dump,
    profile: { kind: 'read' },
    backup: { kind: 'read', dump: backup },
    modules: () => [],
  });
  compareDumps(backup, dump);
  contentsOf(dump);
  const rows = text.split(/\r\n|\r|\n/).length;
  const lost = problems.filter(({ row, start, end }) => row < 0 || row > rows || start < 0 || end < start);
  return failureOf([
    ...(textOfRows(dump.rows) === text ? [] : ['the rows are not the text']),
    ...lost.map(({ code, row, start, end }) => `${code} is at row ${row}, ${start} to ${end}`),
  ]);
}

const PIECES = [
  '\n',
  '\r',
  '\0',
  ' ',
  ':',
  '|',
  '{',
  '}',
  '"',
  '@',
  'S1',
  ':0',
  'FF',
  '0x',
  '9'.repeat(30),
  '€',
  '\ufffd',
  '\u202e',
  '#',
  '@vin ',
  '[]',
];

/** A text with pieces of anything put in, taken out and put in the place of others. */
function garbled(dice: Dice, text: string, times: number): string {
  let now = text;
  for (let i = dice.int(0, times); i > 0; i--) {
    const start = dice.int(0, now.length);
    const end = Math.min(now.length, start + dice.pick([0, 0, 1, 1, 5, 200]));
    const put = dice.once(4) ? now.slice(dice.int(0, now.length)).slice(0, 60) : dice.pick([...PIECES, '']);
    now = now.slice(0, start) + put + now.slice(end);
  }
  return now;
}
