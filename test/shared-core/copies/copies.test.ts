import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { fixesFor } from '../../../shared-core/src/actions/fixes/fixesFor.js';
import { fix } from '../../../shared-core/src/actions/repair.js';
import { restore } from '../../../shared-core/src/actions/restore.js';
import { setOptions } from '../../../shared-core/src/actions/setOptions.js';
import { say } from '../../../shared-core/src/base/index.js';
import { checkDump, type Problem } from '../../../shared-core/src/checks/index.js';
import { compareDumps } from '../../../shared-core/src/compare/compareDumps.js';
import { textOfRows } from '../../../shared-core/src/format/index.js';
import { verifyReadBack } from '../../../shared-core/src/jobs/verify/verify.js';
import { addressCell } from '../../../shared-core/src/model/cell.js';
import { copiesAt } from '../../../shared-core/src/model/copies.js';
import { changeDump } from '../../../shared-core/src/model/gate.js';
import type { Dump } from '../../../shared-core/src/model/index.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';
import { DATA, SETTINGS, STARTS, settings, settingsBytes, withBytes } from '../../support/copies.js';
import { bytesAt } from '../../support/images.js';
import { loaded, SOUND } from '../../support/loaded.js';
import { lines, profileOf } from '../../support/smallDumps.js';

const DUMP = settings();
const ALL = { ...SETTINGS, copies: [{ ...SETTINGS.copies[0], agree: 'all' }] };
const set = (dump: Dump, id: string, raw: bigint) => setOptions(loaded(dump, SOUND), [{ id, to: { raw } }]);
const problemsOf = (dump: Dump) => checkDump(loaded(dump, SOUND)).map(({ code, message }) => [code, say(message)]);
const write = (dump: Dump, address: number, value: number) => {
  const cell = addressCell(dump.layout, address);
  assert.ok(cell);
  return { ...cell, value, reason: 'option' as const };
};
const whyNot = (result: { readonly ok: boolean; readonly why?: Parameters<typeof say>[0] }) =>
  result.ok || result.why === undefined ? 'done' : say(result.why);

describe('copies', () => {
  it('are checked, with the sums inside them in each', () => {
    assert.deepEqual(problemsOf(DUMP), []);
    assert.deepEqual(
      DUMP.totals.map(({ total: { name } }) => name),
      ['settings sum', 'settings sum (2)', 'settings sum (3)', 'image sum'],
    );
  });

  it('are known at each of their bytes: which copy it is, and where in it', () => {
    const at = (address: number) => {
      const cell = addressCell(DUMP.layout, address);
      assert.ok(cell);
      return copiesAt(DUMP, cell).map(({ copies, copy, byte }) => [copies.name, copy, byte.at, byte.values]);
    };
    for (const [copy, start] of STARTS.entries())
      for (const [i, byte] of DATA.entries())
        assert.deepEqual(at(start + i), [['settings', copy, i, [byte, byte, byte]]], `${start} ${i}`);
    for (const beside of [0x0f, 0x1a, 0x2a, 0x40]) assert.deepEqual(at(beside), []);
  });

  it('change with an option in one change, and all sums with them', () => {
    const result = set(DUMP, 'fog', 1n);
    assert.ok(result.ok);
    const wanted = settingsBytes(DATA.map((byte, i) => (i === 2 ? 0xc1 : byte)));
    assert.deepEqual([...bytesAt(result.value.after).values()], wanted);
    const copied = result.value.writes.filter(({ reason }) => reason === 'copy');
    assert.equal(copied.length, 6);
    assert.deepEqual(problemsOf(result.value.after), []);
  });

  it('that differ are a problem at their bytes, which names the minority where a majority counts', () => {
    const first = withBytes(DUMP, SETTINGS, { 17: 0, 18: 0 });
    assert.deepEqual(
      problemsOf(first).filter(([code]) => code === 'copy-differs'),
      [
        [
          'copy-differs',
          'Address 0011–0012 holds 0000, but most copies of "settings" agree on B2C0 (2 of 3, such as: Address 0021–0022).',
        ],
      ],
    );
    const other = withBytes(DUMP, ALL, { 49: 0 });
    assert.deepEqual(
      problemsOf(other).filter(([code]) => code === 'copy-differs'),
      [['copy-differs', 'Address 0031 holds 00; by its copy ("settings") it would be B2: Address 0011.']],
    );
  });

  it('are never made different, whatever asks for it', () => {
    const one = changeDump(DUMP, { writes: [write(DUMP, 0x40, 0), write(DUMP, 0x22, 0)] });
    assert.match(whyNot(one), /^Address 0022 is a copy \("settings"\) and would no longer be the same/);
  });

  it('that differ are named with what is done to the sums, or that nothing is', () => {
    const profile = profileOf({
      lines: { from: 1, to: 4, data: 1, sum: 0 },
      totals: [{ name: 'sum', method: 'add', bits: 8, over: ['data'], label: 'total' }],
      copies: [{ name: 'set', lines: '1-2', at: ['3-4'] }],
    });
    const told = (text: string) => {
      const dump = lines(profile, text);
      const fixed = fix(loaded(dump, SOUND), { totals: 'keep' });
      return fixed.ok ? say(fixed.value.says) : say(fixed.why);
    };
    assert.equal(told('1: 01\n2: 02\n3: 01\n4: 02\ntotal: 06\n'), 'All sums are right, nothing to change.');
    assert.match(
      told('1: 01\n2: 02\n3: 01\n4: 03\ntotal: 07\n'),
      /^Nothing to change in the sums, and yet copies disagree: Byte 1 of line 4 holds 03/,
    );
    assert.match(
      told('1: 01\n2: 02\n3: 01\n4: 03\ntotal: 08\n'),
      /^All checksums corrected: 1 byte changes\. Copies disagree: Byte 1 of line 4 holds 03/,
    );
  });

  it('that differ keep options inside from being set, and others may be set', () => {
    const torn = withBytes(DUMP, SETTINGS, { 55: 0 });
    assert.match(
      whyNot(set(torn, 'fog', 1n)),
      /^Fog lamps cannot be set: The copies "settings" do not agree \(Address 0037\)/,
    );
    assert.match(whyNot(fix(loaded(torn, SOUND), { totals: 'keep' })), /do not agree \(Address 0037\)/);
    // Also where another sum is wrong before it, which alone could be balanced.
    const kept = { name: 'kept', method: 'add', bits: 8, over: [{ from: 0x00, to: 0x0e }], address: 0x0f, keep: true };
    const both = { ...SETTINGS, totals: [kept, ...SETTINGS.totals], balance: [{ address: 0x00 }] };
    const other = (changed: Readonly<Record<number, number>>) =>
      fix(loaded(withBytes(DUMP, both, changed), SOUND), { totals: 'keep' });
    assert.equal(whyNot(other({ 15: 1 })), 'done');
    assert.match(whyNot(other({ 15: 1, 55: 0 })), /do not agree \(Address 0037\)/);
    // Bytes and a sum that go with each other differ from the rest, and no sum is wrong.
    const bytes = settingsBytes(DATA.map(() => 1));
    const whole = Object.fromEntries(Array.from({ length: 10 }, (_, i) => [0x30 + i, bytes[0x30 + i] ?? 0]));
    const sum = [...bytesAt(withBytes(DUMP, SETTINGS, whole)).values()].slice(0, 0x4e).reduce((all, one) => all + one);
    const moved = withBytes(DUMP, SETTINGS, { ...whole, 78: (sum >> 8) & 0xff, 79: sum & 0xff });
    assert.equal(whyNot(set(moved, 'alone', 9n)), 'done');
    assert.match(whyNot(set(moved, 'speed', 9n)), /do not agree/);
  });

  it('become the same again by what the other copy holds', () => {
    const torn = withBytes(DUMP, SETTINGS, { 55: 0, 56: 1 });
    const [problem] = checkDump(loaded(torn, SOUND)).filter(({ code }) => code === 'copy-differs');
    assert.ok(problem);
    const [first] = fixesFor(loaded(torn, SOUND), problem, false);
    assert.ok(first?.kind === 'change' && first.result.ok && first.preferred);
    assert.match(say(first.title), /^Take from the other copy: 0001 to 88[0-9A-F]{2} \(Address 0017–0018\)$/);
    assert.deepEqual(bytesAt(first.result.value.after), bytesAt(DUMP));
    const titles = (dump: Dump, problem: Problem) =>
      fixesFor(loaded(dump, SOUND), problem, false).map(({ title }) => say(title));
    const isGiving = (title: string) => title.startsWith('Write these bytes into the other copies');
    assert.ok(!titles(torn, problem).some(isGiving), 'of three copies most are right');
    const ofTwo = withBytes(DUMP, ALL, { 49: 0 });
    const [other] = checkDump(loaded(ofTwo, SOUND)).filter(({ code }) => code === 'copy-differs');
    assert.ok(other && titles(ofTwo, other).some(isGiving), 'of two nobody can tell');
  });

  it('become the same again with every sum right that was right over what differed', () => {
    const profile = profileOf({
      lines: { from: 1, to: 4, data: 1, sum: 0 },
      totals: [{ name: 'sum', method: 'add', bits: 8, over: ['data'], label: 'total' }],
      copies: [{ name: 'set', lines: '1-2', at: ['3-4'] }],
    });
    const torn = lines(profile, '1: 01\n2: 02\n3: 01\n4: 03\ntotal: 07\n');
    const [problem] = checkDump(loaded(torn, SOUND)).filter(({ code }) => code === 'copy-differs');
    assert.ok(problem);
    const after = fixesFor(loaded(torn, SOUND), problem, false).flatMap((one) =>
      one.kind === 'change' && one.result.ok ? textOfRows(one.result.value.after.rows) : [],
    );
    assert.deepEqual(after, ['1: 01\n2: 02\n3: 01\n4: 02\ntotal: 06\n', '1: 01\n2: 03\n3: 01\n4: 03\ntotal: 08\n']);
  });

  it('become the same again without a word about sums that were wrong before, which stay as they are', () => {
    const [settingsSum] = SETTINGS.totals;
    const far = { name: 'far sum', method: 'add', bits: 16, over: [{ from: 0x40, to: 0x4d }], address: 0x4e };
    const profile = { ...SETTINGS, totals: [settingsSum, far] };
    const whole = withBytes(DUMP, profile, { 78: 0, 79: 0 });
    const torn = withBytes(whole, profile, { 39: 0, 78: 0, 79: 0 });
    const [problem] = checkDump(loaded(torn, SOUND)).filter(({ code }) => code === 'copy-differs');
    assert.ok(problem);
    const [first] = fixesFor(loaded(torn, SOUND), problem, false);
    assert.ok(first?.kind === 'change' && first.result.ok);
    assert.deepEqual(bytesAt(first.result.value.after), bytesAt(whole));
    assert.deepEqual(
      problemsOf(first.result.value.after).map(([code]) => code),
      ['total-sum'],
    );
  });

  it('that were written halfway become whole from either, with the sums over them', () => {
    const [old, fresh] = [settingsBytes(DATA), settingsBytes(DATA.map((byte) => byte ^ 0x50))];
    const halfway = (at: number) => (at < 0x20 ? fresh[at] : old[at]) ?? 0;
    const torn = withBytes(DUMP, ALL, Object.fromEntries(old.map((_, at) => [at, halfway(at)])));
    const fixes = checkDump(loaded(torn, SOUND))
      .filter(({ code }) => code === 'copy-differs')
      .flatMap((problem) => fixesFor(loaded(torn, SOUND), problem, false));
    const whole = fixes.filter(({ title }) => say(title).startsWith('Take all of "settings"'));
    const results = whole.flatMap((one) => (one.kind === 'change' && one.result.ok ? [one.result.value.after] : []));
    const settingsIn = (dump: Dump) => [...bytesAt(dump).values()].slice(0x10, 0x1a);
    for (const from of [old, fresh])
      assert.ok(
        results.some((after) => settingsIn(after).every((byte, i) => byte === from[0x10 + i])),
        fixes.map(({ title }) => say(title)).join('\n'),
      );
    for (const after of results)
      assert.deepEqual(
        problemsOf(after).filter(([code]) => code !== 'total-sum'),
        [],
      );
  });

  it('keep what is locked, and what is of the security, in each of them', () => {
    const locked = profileOf({ ...SETTINGS, locked: [{ address: 0x22, why: 'identity' }] });
    const dump = withBytes(DUMP, { ...SETTINGS, locked: [{ address: 0x22, why: 'identity' }] }, {});
    assert.deepEqual(
      locked.locked.map(({ place }) => place.kind === 'address' && place.address),
      [0x22, 0x12, 0x32],
    );
    assert.match(whyNot(set(dump, 'fog', 1n)), /locked \(identity\)/);
    const key = { id: 'key', title: 'Immobiliser', address: 0x12, bits: '7', number: {}, hazard: 'security' };
    const secured = withBytes(DUMP, { ...SETTINGS, options: [...SETTINGS.options, key] }, {});
    const [torn] = [withBytes(secured, { ...SETTINGS, options: [...SETTINGS.options, key] }, { 34: 0x40 })];
    const taken = STARTS.map((start) => write(torn, start + 2, 0xc0));
    assert.match(whyNot(changeDump(torn, { writes: taken })), /concerns the security of the vehicle/);
    assert.equal(whyNot(set(secured, 'fog', 1n)), 'done');
  });

  it('agree also where the module changes them by itself', () => {
    const counting = { ...SETTINGS, volatile: [{ address: 0x13 }], totals: [] };
    const codes = problemsOf(withBytes(DUMP, counting, { 35: 9 })).map(([code]) => code);
    assert.deepEqual(codes, ['copy-differs']);
  });

  it('say what helps where nobody may write the byte that differs, since no quick fix does', () => {
    const places = {
      volatile:
        / the module changes that byte by itself, .* Restore its line from the backup of this dump, .* read the module again\.$/,
      locked:
        / may only go back to what the sealed backup of this dump holds\. Restore its line from there, .* read the module again\.$/,
    };
    for (const [kind, says] of Object.entries(places)) {
      const profile = { ...SETTINGS, [kind]: [{ address: 0x13 }], totals: [] };
      const torn = withBytes(DUMP, profile, { 35: 9 });
      const fixes = checkDump(loaded(torn, SOUND))
        .filter(({ code }) => code === 'copy-differs')
        .flatMap((problem) => fixesFor(loaded(torn, SOUND), problem, false));
      assert.deepEqual(
        fixes.filter((one) => one.kind === 'change' && one.result.ok),
        [],
      );
      assert.match(whyNot(set(torn, 'fog', 1n)), /The copies "settings" do not agree \(Address 0023\)/);
      assert.match(whyNot(set(torn, 'fog', 1n)), says);
      const backup = withBytes(DUMP, profile, {});
      const subject = loaded(torn, SOUND, { kind: 'read', file: 'b', dump: { ...backup, sealHolds: true } } as never);
      const restored = restore(subject);
      assert.ok(restored.ok, whyNot(restored));
      assert.deepEqual(bytesAt(restored.value.after), bytesAt(backup));
    }
  });

  it('are put aside in a read-back only where they are named as changing by themselves, and agree there', () => {
    const both = (addresses: readonly number[], bytes: Readonly<Record<number, number>>) => {
      const counting = {
        addresses: { from: 0, to: 15 },
        copies: [{ name: 'cp', place: { address: 0, length: 4 }, at: ['0x8'] }],
        volatile: addresses.map((address) => ({ address })),
      };
      const plan = withBytes(DUMP, counting, Object.fromEntries(Array.from({ length: 16 }, (_, i) => [i, 1])));
      return verifyReadBack(plan, withBytes(plan, counting, bytes), undefined);
    };
    assert.equal(both([1], { 9: 0x77 }).matches, false);
    assert.equal(both([1], { 1: 0x77 }).matches, false);
    assert.equal(both([1, 9], { 9: 0x77 }).matches, false);
    assert.equal(both([1], { 1: 0x77, 9: 0x77 }).matches, false);
    assert.equal(both([1, 9], { 1: 0x77, 9: 0x77 }).lines.length, 0);
  });

  it('are named as what they are where dumps are compared', () => {
    const result = set(DUMP, 'fog', 1n);
    assert.ok(result.ok);
    const reasons = compareDumps(DUMP, result.value.after).lines.flatMap(({ bytes }) => bytes);
    assert.deepEqual([...new Set(reasons.map(({ reason }) => reason))].sort(), ['copy', 'line-sum', 'option', 'total']);
    const alone = withBytes(DUMP, SETTINGS, { 34: 1 });
    const [changed] = compareDumps(DUMP, alone).lines.flatMap(({ bytes }) => bytes);
    assert.equal(changed?.reason, 'unexplained');
    const [all] = compareDumps(DUMP, withBytes(DUMP, SETTINGS, { 23: 1, 39: 1, 55: 1 })).lines;
    assert.equal(all?.bytes[0]?.reason, 'unexplained');
  });
});

describe('copies of lines', () => {
  const PROFILE = {
    lines: { from: 1, to: 6, data: 3, sum: 1 },
    lineSum: { method: 'xor', over: ['label', 'data'] },
    copies: [{ name: 'block', lines: '1-2', at: ['4-5'], as: 'inverted' }],
    totals: [{ method: 'add', bits: 16, over: ['data'], label: 'total', keep: true }],
    balance: [
      { line: 6, byte: 3 },
      { line: 6, byte: 2 },
    ],
    options: [{ id: 'fog', title: 'Fog lamps', line: 2, byte: 1, number: {} }],
  };
  const TEXT =
    '1: 01 02 03 | 01\n2: 10 20 30 | 02\n3: 00 00 00 | 03\n4: FE FD FC | FB\n5: EF DF CF | FA\n6: 00 00 00 | 06\ntotal: 05 FA\n';

  it('change inverted, with the sums of their lines and the sum that is kept', () => {
    const dump = lines(profileOf(PROFILE), TEXT);
    assert.deepEqual(problemsOf(dump), []);
    const result = set(dump, 'fog', 0x3cn);
    assert.ok(result.ok, whyNot(result));
    assert.deepEqual(problemsOf(result.value.after), []);
    const texts = result.value.after.rows.map(({ text }) => text.trimEnd());
    assert.equal(texts[1], '2: 3C 20 30 | 2E');
    assert.equal(texts[4]?.slice(0, 11), '5: C3 DF CF');
  });

  it('balance by their first place alone, with which the others change', () => {
    const { problems } = readProfile(JSON.stringify({ format: 1, ...PROFILE, balance: [{ line: 4, byte: 1 }] }));
    assert.match(problems.map(({ message }) => say(message)).join(), /balance place is in a copy of "block"/);
    const first = readProfile(JSON.stringify({ format: 1, ...PROFILE, balance: [{ line: 1, byte: 1 }] }));
    assert.deepEqual(first.problems, []);
  });

  it('carry a sum that is stored in them on to a sum that covers but one of them', () => {
    const sum = { method: 'add', bits: 8, over: ['data'] };
    const profile = profileOf({
      lines: { from: 1, to: 5, data: 2, sum: 0 },
      copies: [{ name: 'block', lines: '2-2', at: ['4'] }],
      totals: [
        { ...sum, name: 'first', lines: '1-1', line: 2, byte: 1 },
        { ...sum, name: 'second', lines: '4-4', line: 5, byte: 1 },
        { ...sum, name: 'kept', lines: '5-5', label: 'total', keep: true },
      ],
      balance: [{ line: 1, byte: 1 }],
    });
    const dump = lines(profile, '1: 10 01\n2: 11 20\n3: 00 00\n4: 11 20\n5: 31 05\ntotal: 46\n');
    const fixed = fix(loaded(dump, SOUND), { totals: 'keep' });
    assert.ok(fixed.ok, whyNot(fixed));
    const texts = fixed.value.after.rows.map(({ text }) => text.trimEnd()).slice(0, -1);
    assert.deepEqual(texts, ['1: 20 01', '2: 21 20', '3: 00 00', '4: 21 20', '5: 41 05', 'total: 46']);
  });

  it('of a run of bytes are in other lines', () => {
    const copies = [{ place: { line: 1, byte: 2, length: 2 }, at: [3, { line: 4, byte: 1 }] }];
    const { copies: read } = profileOf({ ...PROFILE, totals: [], balance: [], copies });
    assert.deepEqual(
      read[0]?.places.map(([run]) => run),
      [
        { kind: 'line', line: 1, byte: 2, count: 2 },
        { kind: 'line', line: 3, byte: 2, count: 2 },
        { kind: 'line', line: 4, byte: 1, count: 2 },
      ],
    );
  });
});

describe('the profile of copies', () => {
  const complaints = (copies: unknown, more: object = {}) =>
    readProfile(JSON.stringify({ format: 1, ...SETTINGS, totals: [], ...more, copies })).problems.map(({ message }) =>
      say(message),
    );

  it('must be clear', () => {
    const place = { address: 0x10, length: 4 };
    const wrong: readonly (readonly [unknown, RegExp])[] = [
      [[{ place }], /Name where the copies are/],
      [[{ at: [0x20] }], /Name what is copied/],
      [[{ place, at: [] }], /at least one copy/],
      [[{ place, at: [0x12] }], /share bytes/],
      [[{ place, at: [0x4e] }], /run off the image/],
      [[{ place, at: [0x20], agree: 'majority' }], /A majority takes three places/],
      [[{ place, at: [{ address: 0x20, length: 5 }] }], /other bytes than the place/],
      [[{ place, lines: '1', at: [0x20] }], /do not go together/],
      [[{ lines: '1', at: [2] }], /only "lines" of the profile can tell/],
      [[{ place, at: [0x20], as: 'mirrored' }], /One of "same", "inverted"/],
    ];
    for (const [copies, why] of wrong) assert.match(complaints(copies).join('\n'), why);
    const sum = { method: 'add', bits: 16, over: [{ from: 0x00, to: 0x4f }], address: 0x18 };
    assert.match(complaints(SETTINGS.copies, { totals: [sum] }).join(), /runs over a copy of the bytes/);
    assert.match(complaints(SETTINGS.copies, { totals: [{ ...sum, address: 0x19 }] }).join(), /partly among/);
  });
});
