import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { readBackPage, verificationInWords, verifyReadBack } from '../../../shared-core/src/jobs/index.js';
import { bindText, type Dump } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE, readProfile } from '../../../shared-core/src/profile/index.js';
import { demoDump, dumpOf } from '../../support/demo.js';
import { edited, set, unsealed } from '../../support/edits.js';
import { assertExpected } from '../../support/expected.js';

const found = demoDump('rear-body.as-found.cfgdump');
const planned = unsealed(set(set(found, 'trailer-socket', '13-pin'), 'trailer-stability', 'on'));
const read = (...changes: readonly (readonly [RegExp | string, string])[]) =>
  edited(planned, (text) =>
    changes.reduce((now, [from, to]) => {
      const next = now.replace(from, to);
      assert.notEqual(next, now, String(from));
      return next;
    }, text),
  );
const verified = (dump: Dump) => verifyReadBack(planned, dump, found);
const causes = (dump: Dump, before: Dump | null = found) =>
  verifyReadBack(planned, dump, before ?? undefined).lines.map(({ line, cause }) => `${line.label}: ${say(cause)}`);

describe('a read-back', () => {
  it('matches where it is what was planned, whatever its spelling and headers', () => {
    const { matches, ignored } = verified(read(['@part RB-2041-07', '@taken 2026-03-02T11:00:00Z'], [/ {2}/g, ' ']));
    assert.deepEqual([matches, ignored], [true, []]);
  });

  it('puts places aside that change by themselves, with the line sum that follows them', () => {
    const { matches, ignored } = verified(
      read(['18: 00 1A 08 C1  00 55 | 44', '18: 00 1B 08 C1  00 55 | 45'], ['total: 21 B2', 'total: 21 B3']),
    );
    assert.deepEqual([matches, ignored.map(({ label }) => label)], [true, [18, 'total']]);
  });

  it('does not put such a line aside where its sum is wrong, or another byte of it differs', () => {
    const line = '18: 00 1A 08 C1  00 55 | 44';
    assert.equal(verified(read([line, '18: 00 1B 08 C1  00 55 | 44'])).matches, false);
    assert.equal(verified(read([line, '18: 00 1B 08 C1  00 55 | 46'])).matches, false);
    assert.equal(verified(read([line, '18: 00 1B 09 C1  00 55 | 46'])).matches, false);
  });

  it('puts a file sum aside that the module makes anew over what changes by itself', () => {
    const cluster = demoDump('cluster.as-found.cfgdump');
    const later = (total: string) =>
      edited(cluster, (text) =>
        text.replace('12: C620 3C3C 107F 0044 | BB', '12: C621 3C3C 107F 0044 | BA').replace('total: 0A BB', total),
      );
    assert.equal(verifyReadBack(cluster, later('total: 0A BA'), undefined).matches, true);
    assert.equal(verifyReadBack(cluster, later('total: 0A BC'), undefined).matches, false);
  });

  const FAULTS: readonly (readonly [string, Dump, RegExp])[] = [
    [
      'a line that was not written',
      read([/^ 4: .*/m, ' 4: 08 03 01 7F  00 FF | 88']),
      /4: Not written: it still holds/,
    ],
    [
      'a line of which a part was written',
      read([/^ 4: .*/m, ' 4: 08 03 21 7F  00 FF | 88']),
      /4: Written in part: byte 7 still holds/,
    ],
    [
      'a digit of a line that was not to be changed',
      read([' 8: 00 72', ' 8: 00 77']),
      /8: This line was not to be changed: mistyped in what was read, badly read, or written by mistake\. Read the module once more and compare the two\.$/m,
    ],
    [
      'a mistyped digit',
      read([' 4: 08 03 21', ' 4: 08 03 22']),
      /4: A digit was mistyped: byte 3 is 22 instead of 21\. The sum of the line, which is wrong now, says so too/,
    ],
    [
      'two digits the wrong way round',
      read([' 4: 08 03 21', ' 4: 08 03 12']),
      /4: Two digits stand in each other's place: 12 instead of 21, from byte 3 on/,
    ],
    ['a mistyped sum', read(['CF FF | 03', 'CF FF | 08']), /8: Only its sum differs, and it is wrong: mistyped/],
    [
      'a default of the module',
      read([/^ 5: .*/m, ' 5: 00 10 9C 08  00 20 | D3'], [/^ 6: .*/m, ' 6: 7F 09 0C 10  F7 00 | 9B']),
      /6: Rear parking sensors is "6", not "4"; its sum fits\. The work does not touch it: the module or somebody set it/,
    ],
    [
      'a line outside the work',
      read([/^ 7: .*/m, ' 7: 7F 7F 08 59  00 00 | 60']),
      /7: The work does not touch it: the module changed it by itself/,
    ],
    [
      'a byte that is locked',
      read([/^ 1: .*/m, ' 1: 06 F4 20 42  00 01 | 58']),
      /1: Byte 4 is locked and never changed by the work: this is another module or vehicle/,
    ],
    [
      'a line entered in the place of another',
      read([/^11: .*/m, '11: 10 00 10 FF  00 B7 | DB']),
      /11: It has the bytes planned for line 12: they were entered in the wrong line/,
    ],
    ['an erased line', read([/^14: .*/m, '14: FF FF FF FF  FF FF | 02']), /14: All its bytes are FF: it was erased/],
    ['bytes left out', read([' 8: 00 72 08', ' 8: 00 72']), /8: It is longer or shorter than planned/],
    ['noise', read([' 8: 00 72 08 B9', ' 8: 13 7A 0B B9']), /8: Its sum is wrong as well: mistyped, or badly read/],
    ['another file sum', read(['total: 21 B2', 'total: 21 D3']), /total: The file sum differs/],
  ];
  for (const [what, dump, cause] of FAULTS)
    it(`tells ${what} by its likely cause`, () => {
      assert.equal(verified(dump).matches, false);
      assert.ok(
        causes(dump).some((one) => cause.test(one)),
        causes(dump).join('\n'),
      );
    });

  it('says of a dump that is as its backup again that what was written is to be taken back, and blames no module', () => {
    const again = unsealed(found);
    const told = verifyReadBack(again, planned, found).lines.map(({ line, cause }) => `${line.label}: ${say(cause)}`);
    assert.match(
      told.join('\n'),
      /^4: The dump has it as the backup has it, and the module has not: what was written earlier/m,
    );
    assert.doesNotMatch(told.join('\n'), /may not allow/);
    // So too where a line of the backup is not read.
    const noted = edited(found, (text) => text.replace(/^@vin/m, 'Read 11 22\n@vin'));
    const [first] = verifyReadBack(again, planned, noted).lines;
    assert.match(first === undefined ? '' : say(first.cause), /^The dump has it as the backup has it/);
  });

  it('asks for nothing to be corrected in the module where a line was badly read', () => {
    const noise = read([' 8: 00 72 08 B9', ' 8: 13 7A 0B B9']);
    const page = readBackPage(verified(noise), { name: 'plan', dump: planned }, { name: 'read', dump: noise }, (said) =>
      say(said),
    );
    assert.match(page, /was mistyped or badly read: read the module once more and verify that\./);
    assert.doesNotMatch(page, /Correct these in the module/);
  });

  it('of a module that was taken back asks for no function to be tried', () => {
    const [back, name] = [unsealed(found), 'rear-body.cfgdump'];
    const page = (plan: Dump) =>
      readBackPage(verifyReadBack(plan, plan, found), { name, dump: plan }, { name: 'read', dump: plan }, (said) =>
        say(said),
      );
    assert.match(page(back), /✓.*\nThe module is as in the backup\.\n$/s);
    assert.doesNotMatch(page(back), /Try the function/);
    assert.match(page(planned), /\nTry the function next\.\n$/);
  });

  it('of another car asks for nothing to be corrected in the module', () => {
    const foreign = read([/^ 1: .*/m, ' 1: 06 F4 20 42  00 01 | 58']);
    const page = readBackPage(
      verified(foreign),
      { name: 'plan', dump: planned },
      { name: 'read', dump: foreign },
      (said) => say(said),
    );
    assert.match(page, /This is not the read-back of this plan/);
    assert.match(page, /Write nothing into the module by this page\./);
    assert.doesNotMatch(page, /Correct these in the module/);
  });

  it('finds causes without the dump as found too, but not that a line was never written', () => {
    const dump = read([/^ 4: .*/m, ' 4: 08 03 01 7F  00 FF | 88'], [' 8: 00 72', ' 8: 00 77']);
    const [first, second] = causes(dump, null);
    assert.match(first ?? '', /4: Trailer socket is "none", not "13-pin"; its sum fits/);
    assert.match(second ?? '', /8: A digit was mistyped/);
  });

  it('names lines that are missing, new, or cannot be read', () => {
    const { matches, unmatched } = verified(
      read([/^ 9: .*\n/m, ''], [/^10: .*\n/m, '10: 00 6E 2I 20  5D C4 | D4\n'], [/$/, '19: 00\n']),
    );
    assert.equal(matches, false);
    assert.deepEqual(
      unmatched.map((said) => say(said)),
      [
        'Line 9 is missing in what was read. Read the module once more, as a whole.',
        'Line 19 is new.',
        'Line 10 cannot be read or is there twice, and was not compared. Correct it first.',
      ],
    );
  });

  it('of another vehicle or software level is called that', () => {
    const foreign = (dump: Dump) => {
      const why = verified(dump).foreign;
      return why && say(why);
    };
    assert.match(foreign(read(['TA020418', 'TA020419'])) ?? '', /"@vin" is "0DEM0T4X5TA020418" in the plan/);
    assert.match(
      foreign(read(['@software 0311', '@software 0312'])) ?? '',
      /^What was read is of another software level: "@software"/,
    );
    const identity = read([/^ 1: .*/m, ' 1: 06 F4 20 42  00 01 | 58']);
    assert.match(foreign(identity) ?? '', /Byte 4 of line 1 differs, which no work changes \(identity of the module\)/);
    const many = edited(planned, (text) =>
      text.replace(
        /^( ?(?:[5-9]|1[0-6])): (..)/gm,
        (_, label: string, pair: string) => `${label}: ${pair === '7F' ? '7E' : '7F'}`,
      ),
    );
    assert.match(foreign(many) ?? '', /More than half of the lines differ/);
    assert.equal(foreign(read([' 8: 00 72', ' 8: 00 77'])), undefined);
  });

  it('is told in words and as a page', () => {
    const dump = read(
      [/^ 4: .*/m, ' 4: 08 03 01 7F  00 FF | 88'],
      [' 8: 00 72', ' 8: 00 77'],
      [/^10: .*\n/m, ''],
      ['18: 00 1A 08 C1  00 55 | 44', '18: 00 1B 08 C1  00 55 | 45'],
    );
    const verification = verified(dump);
    assert.equal(
      say(verificationInWords(verification)[0] ?? { pattern: '', parts: [] }),
      'What was read is NOT what was planned. Other than planned: line 4, 8.',
    );
    const page = (of: Dump) =>
      readBackPage(
        verified(of),
        { name: 'rear-body.cfgdump', dump: planned },
        { name: 'read.cfgdump', dump: of },
        (said) => say(said),
      );
    assertExpected('read-back/faulty.md', page(dump));
    assertExpected('read-back/good.md', page(planned));
  });

  it('of a memory image is held against the plan by address', () => {
    const profile = readProfile(
      '{ "format": 1, "addresses": { "from": 0, "to": 7 }, "volatile": [{ "address": 4, "bytes": 1 }] }',
    ).profile;
    const image = (...records: readonly string[]) =>
      bindText('a.hex', [...records, ':00000001FF', ''].join('\n'), profile);
    const plan = image(':0400000001020304F2', ':0400040001020304EE');
    assert.equal(
      verifyReadBack(
        plan,
        image(':02000000010 2FB'.replace(' ', ''), ':020002000304F5', ':0400040001020304EE'),
        undefined,
      ).matches,
      true,
    );
    assert.equal(verifyReadBack(plan, image(':0400000001020304F2', ':0400040009020304E6'), undefined).matches, true);
    const wrong = verifyReadBack(plan, image(':0400000001020305F1', ':0400040001020304EE'), undefined);
    assert.deepEqual(
      wrong.lines.map(({ line }) => line.label),
      ['0000'],
    );
  });

  it('without one line that is a record differs in all', () => {
    const nothing = dumpOf('@note nothing\n', planned.profile);
    const { matches, unmatched } = verified(nothing);
    assert.deepEqual([matches, unmatched.length], [false, 20]);
  });

  it('is never what was planned because neither could be read', () => {
    const { matches, unmatched } = verifyReadBack(
      bindText('a', '', EMPTY_PROFILE),
      dumpOf('@note nothing\n', planned.profile),
      undefined,
    );
    assert.equal(matches, false);
    assert.deepEqual(
      unmatched.map((said) => say(said)),
      [
        'The plan was not read whole: it holds no data that can be read.',
        'What was read from the module is not whole: it holds no data that can be read.',
      ],
    );
  });
});
