// A file sum that is only a guess, until dumps as they were read, with other stored values, follow it too.
import assert from 'node:assert/strict';
import { parse } from 'jsonc-parser';
import { describe, it } from 'mocha';
import { phrase, say } from '../../../shared-core/src/base/index.js';
import {
  confirmedInWords,
  confirmingWish,
  unconfirmedSums,
  whyUnconfirmed,
} from '../../../shared-core/src/jobs/confirmedSums.js';
import { changeProfile } from '../../../shared-core/src/learn/index.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';
import { editedProfile } from '../../../shared-core/src/profile/profileText.js';
import { at, type Files, inputOf, jobsIn } from '../../support/jobFolder.js';
import { sealOfText } from '../../support/oracle/texts.js';

const PROFILE = `{
  "format": 1, // learned
  "title": "Seat",
  "lines": { "from": 1, "to": 2, "data": 3, "sum": 1 },
  "lineSum": { "method": "add", "over": ["data"] },
  "totals": [{ "name": "file sum", "label": "total", "method": "add", "bits": 16, "over": ["data"], "confidence": "guess" }],
}
`;
const head = '@profile p.dump-profile.json\n';
const dump = (first: string, sum: string, total: string, headers = head) =>
  `${headers}1: ${first} 02 03 | ${sum}\n2: 10 21 00 | 31\ntotal: ${total}\n`;
/** A dump of a car that is only here to compare with, which nothing ever writes. */
const donor = (car: string, ...bytes: [first: string, sum: string, total: string]) =>
  dump(...bytes, `@use comparison\n@vehicle car ${car}\n${head}`);
const sealed = (text: string) => `@seal ${sealOfText(text, 'dump-text')}\n${text}`;
const A = donor('A', '01', '06', '0037');
const B = donor('B', '05', '0A', '003B');
/** The one that is worked on, of which nobody can tell whether it is as it was read. */
const OWN = dump('07', '0C', '003D', `@vehicle car C\n${head}`);
const FILES: Files = { 'p.dump-profile.json': PROFILE, 'a.cfgdump': A };

const found = async (files: Files) => {
  const { dumps } = await inputOf(files);
  return unconfirmedSums(
    dumps.map(({ loaded }) => loaded),
    at('p.dump-profile.json'),
  );
};
const by = async (files: Files) => (await found(files))[0]?.by.map(({ name, value }) => `${name} ${value}`);

describe('a file sum that is only a guess', () => {
  it('stays one with a single dump, and with a second one that has the same value', async () => {
    assert.deepEqual(await by(FILES), []);
    assert.deepEqual(await by({ ...FILES, 'b.cfgdump': A.replace('car A', 'car B') }), []);
  });

  it('is confirmed by two dumps as they were read that have different values and follow it', async () => {
    assert.deepEqual(await by({ ...FILES, 'b.cfgdump': B }), ['a.cfgdump 0037', 'b.cfgdump 003B']);
  });

  it('is not confirmed by a dump with a line that the profile does not know, and waits for nothing once it is', async () => {
    assert.deepEqual(await by({ ...FILES, 'b.cfgdump': `${B}3: 00 00 00 | 00\n` }), []);
    const loose = dump('09', '0E', '003F', `@vehicle car D\n${head}`);
    const [sum] = await found({ ...FILES, 'b.cfgdump': B, '0.cfgdump': loose });
    assert.deepEqual([sum?.by.length, sum?.waiting], [2, []]);
    // Nor where one of them speaks against it.
    const against = donor('E', '05', '0A', '003C');
    const [other] = await found({ ...FILES, 'b.cfgdump': against, '0.cfgdump': loose });
    assert.deepEqual([other?.by, other?.against, other?.waiting], [[], ['b.cfgdump'], []]);
  });

  it('is not confirmed by a dump that was changed here, but by its backup as it was read', async () => {
    const work = dump('05', '0A', '003B', `@vehicle car B\n${head}@backup a.cfgdump\n`);
    assert.deepEqual(await by({ ...FILES, 'b.cfgdump': work }), []);
    const backup = sealed(dump('05', '0A', '003B', `@vehicle car B\n${head}`));
    const more = { ...FILES, 'b.cfgdump': work.replace('a.cfgdump', 'c.cfgdump'), 'c.cfgdump': backup };
    assert.deepEqual(await by(more), ['a.cfgdump 0037', 'c.cfgdump 003B']);
    // What was invented for a copy for others follows from the guess itself.
    const masked = sealed(`@use masked\n${dump('05', '0A', '003B', `@vehicle car B\n${head}`)}`);
    assert.deepEqual(await by({ ...more, 'c.cfgdump': masked }), []);
  });

  it('is not confirmed by what nobody can tell to be as it was read: it waits until that is sealed or for comparison', async () => {
    const loose = dump('05', '0A', '003B', `@vehicle car B\n${head}`);
    const waiting = await found({ ...FILES, 'b.cfgdump': loose });
    assert.deepEqual([waiting[0]?.by, waiting[0]?.waiting], [[], ['b.cfgdump']]);
    assert.match(waiting.map((sum) => say(whyUnconfirmed(sum) ?? phrase(''))).join(), /b\.cfgdump may confirm it once/);
    assert.equal((await by({ ...FILES, 'b.cfgdump': sealed(loose) }))?.length, 2);
    assert.deepEqual(await by({ ...FILES, 'b.cfgdump': sealed(loose).replace('05 02', '06 02') }), []);
  });

  it('is not confirmed by two readings of one car, or of cars that nobody tells apart: the later may hold what was written', async () => {
    for (const text of [B.replace('car B', 'Car a'), B.replace('@vehicle car B\n', '')]) {
      const later = text.replace('@profile', '@taken 2026-03-02T10:00Z\n@profile');
      const [sum] = await found({ ...FILES, 'b.cfgdump': later });
      assert.deepEqual([sum?.by, sum?.waiting], [[], []]);
      assert.match(sum === undefined ? '' : say(whyUnconfirmed(sum) ?? phrase('')), /of another car/);
    }
  });

  it('is not confirmed by two dumps of one VIN, whatever blanks are in it', async () => {
    const ofVin = (text: string, vin: string) => text.replace(/@vehicle.*/, `@vin ${vin}`);
    const cars = (one: string, other: string) => ({
      ...FILES,
      'a.cfgdump': ofVin(A, one),
      'b.cfgdump': ofVin(B, other),
    });
    assert.equal((await by(cars('0DEM0T4X0TA020417', '0DEM0T4X9TA020418')))?.length, 2);
    for (const same of ['0DEM0T4X0TA020417', '0dem0t4x0 TA 020417'])
      assert.deepEqual(await by(cars('0DEM0T4X0TA020417', same)), [], same);
  });

  it('is not confirmed by a dump with an error, sealed or not, nor waits for one', async () => {
    const wrong = '@vin 0DEM0T4X?TA020418\n';
    assert.deepEqual(await by({ ...FILES, 'b.cfgdump': `${wrong}${B}` }), []);
    const backup = sealed(`${wrong}${dump('05', '0A', '003B', `@vehicle car B\n${head}`)}`);
    const work = dump('05', '0A', '003B', `@vehicle car B\n${head}@backup c.cfgdump\n`);
    assert.deepEqual(await by({ ...FILES, 'b.cfgdump': work, 'c.cfgdump': backup }), []);
    const loose = dump('05', '0A', '003B', `${wrong}@vehicle car B\n${head}`);
    assert.deepEqual((await found({ ...FILES, 'b.cfgdump': loose }))[0]?.waiting, []);
    const against = dump('05', '0A', '003C', `${wrong}@use comparison\n@vehicle car E\n${head}`);
    assert.deepEqual((await found({ ...FILES, 'b.cfgdump': B, 'c.cfgdump': against }))[0]?.against, ['c.cfgdump']);
  });

  it('is not confirmed by a dump of zeros, or of one byte alone, which many rules fit', async () => {
    const only = (byte: string, sum: string, total: string) =>
      `@use comparison\n@vehicle car B\n${head}1: ${byte} ${byte} ${byte} | ${sum}\n2: ${byte} ${byte} ${byte} | ${sum}\ntotal: ${total}\n`;
    for (const text of [only('00', '00', '0000'), only('FF', 'FD', '05FA'), only('55', 'FF', '01FE')])
      assert.deepEqual(await by({ ...FILES, 'b.cfgdump': text }), [], text);
    const almost = only('FF', 'FD', '05FA').replace('FF FF FF | FD\nt', 'FF FF FE | FC\nt').replace('05FA', '05F9');
    assert.equal((await by({ ...FILES, 'b.cfgdump': almost }))?.length, 2);
  });

  it('is not confirmed where a dump whose lines are all right does not follow it, which is named', async () => {
    const [sum] = await found({ ...FILES, 'b.cfgdump': B, 'c.cfgdump': dump('05', '0A', '9999') });
    assert.deepEqual([sum?.by, sum?.against], [[], ['c.cfgdump']]);
  });

  it('is not confirmed by dumps that are damaged, of another profile, or not read whole', async () => {
    for (const text of [
      dump('05', '0B', '003B'),
      B.replace(head, ''),
      B.replace('2: 10 21 00 | 31\n', ''),
      B.replace('@profile', '@use another-module\n@profile'),
    ])
      assert.deepEqual(await by({ ...FILES, 'b.cfgdump': text }), [], text);
  });

  it('is no guess any more once the person says so: the profile says what confirmed it, and keeps its comments', async () => {
    const wish = confirmingWish(await found({ ...FILES, 'b.cfgdump': B }));
    assert.ok(wish);
    const edits = changeProfile(PROFILE, wish);
    assert.ok(edits.ok);
    const text = editedProfile(PROFILE, edits.value);
    const [total] = parse(text).totals;
    assert.equal(total.confidence, 'confirmed');
    assert.equal(total.note, 'Follows from the bytes in a.cfgdump (0037) and b.cfgdump (003B).');
    assert.deepEqual(readProfile(text).problems, []);
    assert.match(text, /\/\/ learned/);
    assert.ok(!changeProfile(text, wish).ok, 'twice');
    assert.ok(!changeProfile(PROFILE.replace('// learned', '//'), wish).ok, 'another text');
  });

  it('is said with the dumps that confirm it and their values; of one that stays a guess nothing is said', async () => {
    const words = async (files: Files) => (await found(files)).flatMap(confirmedInWords).map((said) => say(said));
    assert.deepEqual(await words({ ...FILES, 'b.cfgdump': B }), [
      'The file sum was a guess. a.cfgdump (0037) and b.cfgdump (003B), as they were read, both follow it.',
    ]);
    assert.deepEqual(await words(FILES), []);
  });

  it('keeps the note that it has', async () => {
    const own = PROFILE.replace('"confidence"', '"note": "Worked out.", "confidence"');
    const wish = confirmingWish(await found({ ...FILES, 'p.dump-profile.json': own, 'b.cfgdump': B }));
    assert.ok(wish);
    const edits = changeProfile(own, wish);
    assert.ok(edits.ok);
    const [{ note }] = parse(editedProfile(own, edits.value)).totals;
    assert.match(note, /^Worked out\. Follows from the bytes in a\.cfgdump/);
  });

  it('is confirmed in the profile that describes it, by dumps of profiles that extend it', async () => {
    const variant = '{ "format": 1, "extends": "p.dump-profile.json" }';
    const files = {
      'p.dump-profile.json': PROFILE,
      'v.dump-profile.json': variant,
      'a.cfgdump': A.replace('@profile p', '@profile v'),
    };
    assert.deepEqual(await by(files), []);
    assert.deepEqual(await by({ ...files, 'b.cfgdump': B }), ['a.cfgdump 0037', 'b.cfgdump 003B']);
    const both = {
      ...files,
      'b.cfgdump': B.replace('@profile p', '@profile v'),
      'own.cfgdump': OWN.replace('@profile p', '@profile v'),
    };
    const wish = confirmingWish(await found(both));
    assert.ok(wish);
    assert.ok(changeProfile(PROFILE, wish).ok);
    const sums = (await jobsIn(both))[0]?.modules[0]?.steps.find(({ id }) => id === 'sums');
    assert.equal(sums?.action?.other, at('p.dump-profile.json'));
  });

  it('is told at the step of the sums, with the way to have it confirmed', async () => {
    const step = async (files: Files) => {
      const sums = (await jobsIn(files))[0]?.modules[0]?.steps.find(({ id }) => id === 'sums');
      return `${sums === undefined ? '' : say(sums.says)} ${sums?.action?.does ?? ''}`;
    };
    assert.equal(
      await step({ 'p.dump-profile.json': PROFILE, 'own.cfgdump': OWN }),
      'Profile: Seat; file sum unconfirmed: a dump of another car, with another value, confirms it bringIn',
    );
    assert.equal(
      await step({ ...FILES, 'own.cfgdump': OWN }),
      'Profile: Seat; file sum unconfirmed: own.cfgdump may confirm it, once it is sealed or only for comparison ',
    );
    const own = { 'p.dump-profile.json': PROFILE, 'own.cfgdump': OWN };
    assert.equal(
      await step({ ...own, 'b.cfgdump': B.replace(/^@profile.*\n/m, '') }),
      'Profile: Seat; file sum unconfirmed: b.cfgdump may confirm it, once it names this profile similar',
    );
    assert.match(await step({ ...own, 'z.cfgdump': '@vehicle car Z\n1: 00\n' }), / bringIn$/);
    // One that says that it is of another module is not taken for this one, though all of its sums come out.
    const forSeats = PROFILE.replace('"format": 1', '"format": 1, "appliesTo": { "part": ["S-*"] }');
    for (const [part, does] of [
      ['S-2', 'similar'],
      ['X-1', 'bringIn'],
    ])
      assert.equal(
        (
          await step({
            ...own,
            'p.dump-profile.json': forSeats,
            'b.cfgdump': B.replace(/^@profile.*/m, `@part ${part}`),
          })
        )
          .split(' ')
          .at(-1),
        does,
        part,
      );
    assert.equal(
      await step({ ...FILES, 'own.cfgdump': OWN, 'b.cfgdump': B }),
      'Profile: Seat; the file sum was a guess, and a.cfgdump and b.cfgdump confirm it confirmSums',
    );
    assert.equal(
      await step({ ...FILES, 'own.cfgdump': OWN, 'b.cfgdump': B, 'c.cfgdump': donor('D', '05', '0A', '9999') }),
      'Profile: Seat; file sum unconfirmed: it does not follow from the bytes of c.cfgdump ',
    );
    // Also where it is the second of two sums: the first one follows from all dumps.
    const two = PROFILE.replace(
      '"guess" }]',
      '"guess" }, { "name": "xor", "label": "check", "method": "xor", "bits": 8, "over": ["data"], "confidence": "guess" }]',
    );
    const checked = (text: string, byte: string) => `${text}check: ${byte}\n`;
    const files = { 'p.dump-profile.json': two, 'a.cfgdump': checked(A, '31'), 'own.cfgdump': checked(OWN, '37') };
    assert.equal(
      await step({ ...files, 'b.cfgdump': checked(B, '99') }),
      'Profile: Seat; file sum unconfirmed: it does not follow from the bytes of b.cfgdump ',
    );
    assert.match(await step({ ...files, 'b.cfgdump': checked(B, '35') }), /a\.cfgdump and b\.cfgdump confirm it/);
  });
});
