import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { textAfter } from '../../../shared-core/src/format/index.js';
import { changeDump, type Permit, type Wish, whyNotWritable } from '../../../shared-core/src/model/gate.js';
import { type ByteWrite, bindText, type Dump } from '../../../shared-core/src/model/index.js';
import { sealOf } from '../../../shared-core/src/model/seal.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';

// Sums over few bytes, so that each can be added up by eye: a line sum adds the data bytes, the total adds all data.
const PROFILE = {
  format: 1,
  lines: { from: 1, to: 3, data: 4, sum: 1 },
  lineSum: { method: 'add', bits: 8, over: ['data'] },
  totals: [{ name: 'file sum', label: 'total', method: 'add', bits: 16, over: ['data'], keep: true }],
  options: [
    { id: 'horn', title: 'Horn', line: 2, byte: 1, bits: '7-4', values: { 0: 'no', 1: 'yes' } },
    { id: 'alarm', title: 'Alarm', line: 2, byte: 1, bits: '3-0', values: { 0: 'no', 1: 'yes' }, hazard: 'security' },
  ],
  locked: [{ line: 1, bytes: '1-2', why: 'identity' }],
  volatile: [{ line: 3, byte: 4, why: 'counter' }],
};
const NOTHING_ELSE = { totals: [], options: [], volatile: [], locked: [{ line: 1, byte: 1, why: 'identity' }] };
const LINES = ['1: 01 02 03 04 0A', '2: 10 20 30 40 A0', '3: 00 00 00 05 05', 'total: 00 AF', ''].join('\n');

const profileWith = (more: object = {}) => readProfile(JSON.stringify({ ...PROFILE, ...more })).profile;
const dumpOf = (text: string, profile = profileWith()) => bindText('a.cfgdump', text, profile);
const rowOf = (dump: Dump, start: string) => dump.rows.findIndex(({ text }) => text.startsWith(start));
const write = (dump: Dump, line: number, byte: number, value: number): ByteWrite => ({
  row: rowOf(dump, `${line}:`),
  byte: byte - 1,
  value,
  reason: 'option',
});

/** Asserts that a wish is refused with words like these; all else it may say is for people. */
function refused(dump: Dump, wish: Wish, words: RegExp, permit: Permit = {}): void {
  const result = changeDump(dump, wish, permit);
  assert.ok(!result.ok, 'was not refused');
  assert.match(say(result.why), words);
}

/** The text after a wish that is granted. */
function granted(dump: Dump, wish: Wish, permit: Permit = {}): string {
  const result = changeDump(dump, wish, permit);
  assert.ok(result.ok, result.ok ? '' : say(result.why));
  return textAfter(dump.rows, result.value.edits);
}

describe('the gate', () => {
  const dump = dumpOf(LINES);
  /** Moves 0x10 from byte 1 of line 2 to its byte 2: every sum stays right. */
  const honest = [write(dump, 2, 1, 0x00), write(dump, 2, 2, 0x30)];

  it('lets through what keeps every sum right and touches nothing protected', () => {
    assert.equal(granted(dump, { writes: honest }), LINES.replace('2: 10 20', '2: 00 30'));
  });

  it('writes digits in the letters that the line has, and capitals where it has none or both', () => {
    const plain = profileWith({
      lines: { from: 1, to: 1, data: 3, sum: 0 },
      ...NOTHING_ELSE,
      locked: [],
      lineSum: undefined,
    });
    const written = (text: string) => {
      const own = dumpOf(`1: ${text}\n`, plain);
      return granted(own, { writes: [write(own, 1, 1, 0xef)] })
        .slice(3)
        .trimEnd();
    };
    assert.deepEqual(['00 0a 01', '00 0A 01', '00 00 01', '00 0a 0B', '00 0f 01', '00 0F 01'].map(written), [
      'ef 0a 01',
      'EF 0A 01',
      'EF 00 01',
      'EF 0a 0B',
      'ef 0f 01',
      'EF 0F 01',
    ]);
  });

  it('makes no sum right over bytes that nobody may have changed, but where the backup holds the same', () => {
    const profile = profileWith({
      locked: [{ line: 1, bytes: '1-3', why: 'identity' }],
      volatile: [{ line: 1, byte: 4 }],
    });
    const damaged = dumpOf(LINES.replace('1: 01 02', '1: 01 07'), profile);
    const sum = (value: number) => [write(damaged, 1, 5, value)];
    refused(damaged, { writes: sum(0x0f) }, /^Row 1: its sum is wrong and nobody may have changed its bytes/);
    const sealed = (text: string) => dumpOf(`@seal ${sealOf(dumpOf(text, profile))}\n${text}`, profile);
    refused(damaged, { writes: sum(0x0f) }, /^Row 1/, { backup: sealed(LINES) });
    const onlySum = dumpOf(LINES.replace('0A', '0B'), profile);
    assert.equal(granted(onlySum, { writes: sum(0x0a) }, { backup: sealed(LINES) }), LINES);
    refused(onlySum, { writes: sum(0x0a) }, /^Row 1/);
    // Also where the line has one byte only.
    const oneByte = profileWith({ ...NOTHING_ELSE, lines: { from: 1, to: 1, data: 1, sum: 1 } });
    const single = dumpOf('1: 07 | 00\n', oneByte);
    refused(single, { writes: [write(single, 1, 2, 0x07)] }, /^Row 1: its sum is wrong and nobody may have changed/);
    // One byte that may be changed is reason enough for a wrong sum.
    assert.equal(granted(dumpOf(LINES.replace('0A', '0B')), { writes: sum(0x0a) }), LINES);
  });

  it('refuses a locked byte, whatever is missing around it', () => {
    const writes = [write(dump, 1, 1, 0x02), write(dump, 1, 4, 0x03)];
    refused(dump, { writes }, /Byte 1 of line 1 is locked \(identity\)/);
    const short = dumpOf(LINES.replace('1: 01 02 03 04 0A', '1: 01'));
    refused(short, { writes: [write(short, 1, 1, 0x02)] }, /locked/);
  });

  it('refuses a security bit and lets the other bits of its byte be', () => {
    refused(dump, { writes: [write(dump, 2, 1, 0x11), write(dump, 2, 2, 0x1f)] }, /"Alarm".*security/);
    granted(dump, { writes: honest });
  });

  it('refuses a volatile byte', () => {
    refused(dump, { writes: [write(dump, 3, 4, 0x04), write(dump, 3, 1, 0x01)] }, /changes by itself.*counter/);
  });

  it('refuses a line that takes a locked byte away with it', () => {
    const row = rowOf(dump, '1:');
    refused(dump, { edits: [{ row, start: 0, end: dump.rows[row]?.text.length ?? 0, text: '' }] }, /locked/);
  });

  it('refuses to make a right sum wrong, of a line and of the file', () => {
    refused(dump, { writes: [write(dump, 2, 1, 0x00)] }, /sum of line 2 would be wrong/);
    refused(
      dump,
      { writes: [write(dump, 2, 1, 0x00), write(dump, 2, 5, 0x90)] },
      /file sum is right and would be wrong/,
    );
  });

  it('lets a sum that is wrong already stay wrong', () => {
    const wrong = dumpOf(LINES.replace('total: 00 AF', 'total: 00 AE'));
    granted(wrong, { writes: honest });
  });

  it('goes back to what the sealed backup of this dump holds, and to no other dump', () => {
    const text = LINES.replace('1: 01 02', '1: 02 01');
    const changed = dumpOf(text);
    const back = { writes: [write(changed, 1, 1, 0x01), write(changed, 1, 2, 0x02)] };
    const sealed = dumpOf(`@seal ${sealOf(dump)}\n${LINES}`);
    assert.equal(granted(changed, back, { backup: sealed }), LINES);
    refused(changed, back, /locked/, { backup: dump });
    refused(changed, back, /locked/, { backup: dumpOf(`@seal sha256:00\n${LINES}`) });
    const others = dumpOf(`@vin OTHER\n${text}`);
    const othersBack = { writes: [write(others, 1, 1, 0x01), write(others, 1, 2, 0x02)] };
    refused(others, othersBack, /locked/, { backup: dumpOf(`@vin ONE\n@seal ${sealOf(dump)}\n${LINES}`) });
    const half = { writes: [write(changed, 1, 1, 0x01), write(changed, 1, 2, 0x00), write(changed, 1, 3, 0x05)] };
    refused(changed, half, /Byte 2 of line 1/, { backup: sealed });
  });

  it('refuses a locked byte in the second copy of a line, and a copy that says something else', () => {
    const twice = dumpOf(LINES.replace('2: 10', '1: 01 02 03 04 0A\n2: 10'));
    refused(twice, { writes: [{ row: 1, byte: 0, value: 0x02, reason: 'option' }] }, /Byte 1 of line 1 is locked/);
    refused(dump, { edits: [{ row: 1, start: 0, end: 0, text: '1: 01 05 03 01 0A\n' }] }, /Byte 2 of line 1 is locked/);
    // One of both may go.
    const row = twice.rows[1]?.text.length ?? 0;
    assert.equal(granted(twice, { edits: [{ row: 1, start: 0, end: row, text: '' }] }), LINES);
  });

  it('refuses a locked byte in the second record of an image that holds its address', () => {
    const profile = readProfile(
      JSON.stringify({
        format: 1,
        notation: 'intel-hex',
        addresses: { from: 0, to: 3 },
        locked: [{ address: 1, bytes: 1, why: 'identity' }],
      }),
    ).profile;
    const record = ':0400000001020304F2';
    const image = bindText('a.hex', `${record}\n${record}\n:00000001FF\n`, profile);
    const moved = [
      { row: 1, byte: 0, value: 0x02, reason: 'option' },
      { row: 1, byte: 1, value: 0x01, reason: 'option' },
    ] as const;
    refused(image, { writes: moved }, /Address 0001 is locked/);
    granted(image, {
      writes: [
        { row: 1, byte: 2, value: 0x04, reason: 'option' },
        { row: 1, byte: 3, value: 0x03, reason: 'option' },
      ],
    });
  });

  it('refuses to make a line that can be read one that cannot', () => {
    const open = dumpOf(LINES, profileWith({ options: [] }));
    const row = rowOf(open, '2:');
    refused(open, { edits: [{ row, start: 3, end: 4, text: 'x' }] }, /Row 2 could not be read/);
    refused(open, { edits: [{ row, start: 3, end: 3, text: '00 ' }] }, /Row 2 could not be read/);
    // One that cannot be read already may stay so.
    const torn = dumpOf(LINES.replace('2: 10', '2: x0'), open.profile);
    granted(torn, { edits: [{ row, start: 3, end: 4, text: 'y' }] });
    // What a notation takes for text is not read either, unless it is marked as a comment.
    const pattern = '{label}: {data}';
    const kept = dumpOf(LINES, profileWith({ options: [], totals: [], notation: { pattern, otherwise: 'keep' } }));
    const inPlace = [write(kept, 2, 1, 0x00)];
    refused(kept, { writes: inPlace, edits: [{ row, start: 3, end: 3, text: '? ' }] }, /Row 2 could not be read/);
    granted(kept, { edits: [{ row, start: 0, end: 0, text: '# ' }] });
  });

  it('refuses a locked byte in a copy of its line that is added at the end, and each byte of a copy', () => {
    const end = { row: LINES.split('\n').length - 1, start: 0, end: 0, text: '1: 01 05 03 01 0A\n' };
    refused(dump, { edits: [end] }, /Byte 2 of line 1 is locked/);
    const twice = dumpOf(LINES.replace('2: 10', '1: 01 02 03 04 0A\n2: 10'));
    const second = (byte: number, value: number) => ({ row: 1, byte, value, reason: 'option' }) as const;
    refused(twice, { writes: [second(1, 0x01), second(2, 0x04)] }, /Byte 2 of line 1 is locked/);
    granted(twice, { writes: [second(2, 0x04), second(3, 0x03)] });
  });

  it('a locked byte that is missing may stay missing', () => {
    const cut = dumpOf(LINES.replace('1: 01 02 03 04 0A', '1: 01'));
    assert.match(granted(cut, { writes: honest }), /^1: 01\n2: 00 30/);
    const gone = dumpOf(LINES.replace('1: 01 02 03 04 0A\n', ''));
    assert.match(granted(gone, { writes: [write(gone, 2, 1, 0x00), write(gone, 2, 2, 0x30)] }), /^2: 00 30/);
  });

  it('a row that was not read stays where a protected place is missing, as it may be there', () => {
    const notation = { pattern: '{label}: {data}', otherwise: 'keep' };
    const profile = profileWith({ options: [], totals: [], notation });
    const torn = dumpOf(LINES.replace('1: 01', '1: x1'), profile);
    const asComment = { edits: [{ row: 0, start: 0, end: 0, text: '# ' }] };
    refused(torn, asComment, /Row 1 was not read and may hold what is missing.*Byte 1 of line 1 is locked/);
    granted(torn, { writes: [write(torn, 2, 1, 0x00), write(torn, 2, 2, 0x30)] });
    // Line 1 is there, or was there neither when all was as found: the row is something else.
    granted(dumpOf(`1 01 02\n${LINES}`, profile), asComment);
    const without = LINES.replace('1: 01 02 03 04 0A\n', '');
    const sealed = dumpOf(`@seal ${sealOf(dumpOf(without, profile))}\n${without}`, profile);
    granted(dumpOf(`1 01 02\n${without}`, profile), asComment, { backup: sealed });
    refused(dumpOf(`1 01 02\n${without}`, profile), asComment, /Row 1 was not read/);
  });

  it('a new line that nobody may add by a profile with a problem may not stand at the end either', () => {
    const flawed = dumpOf(LINES, profileWith({ lockd: [] }));
    const end = { row: LINES.split('\n').length - 1, start: 0, end: 0, text: '4: 01 02 03 04 0A\n' };
    refused(flawed, { edits: [end] }, /The profile has problems/);
  });

  it('says whether any record becomes another, and grants by any profile what changes none', () => {
    const changes = (one: Dump, wish: Wish) => {
      const result = changeDump(one, wish);
      return result.ok && result.value.changesRecords;
    };
    const remark = { edits: [{ row: 0, start: 0, end: 0, text: '# a remark\n' }] };
    const flawed = dumpOf(LINES, profileWith({ lockd: [] }));
    for (const one of [dump, flawed]) {
      assert.equal(changes(one, remark), false);
      assert.equal(changes(one, {}), false);
      assert.deepEqual(granted(one, {}), LINES);
    }
    assert.equal(changes(dump, { writes: honest }), true);
  });

  it('gives the edits in the order of the text, also those of one row', () => {
    const open = dumpOf(
      LINES,
      profileWith({ lineSum: undefined, totals: [], options: [], lines: { ...PROFILE.lines, data: 5, sum: 0 } }),
    );
    const edits = [
      { row: 1, start: 11, end: 11, text: ' ' },
      { row: 1, start: 9, end: 11, text: '31' },
      { row: 1, start: 3, end: 5, text: '11' },
      { row: 1, start: 3, end: 3, text: ' ' },
      { row: 0, start: 12, end: 14, text: '05' },
    ];
    const result = changeDump(open, { edits });
    const places = result.ok && result.value.edits.map(({ row, start, end }) => [row, start, end]);
    assert.deepEqual(places, [
      [0, 12, 14],
      [1, 3, 3],
      [1, 3, 5],
      [1, 9, 11],
      [1, 11, 11],
    ]);
    assert.match(granted(open, { edits }), /^1: 01 02 03 05 0A\n2: {2}11 20 31 {2}40 A0\n/);
  });

  it('takes a line that moves up by its text: another wrong line in its place is a new one', () => {
    const wrong = dumpOf(LINES.replace('40 A0', '40 A1'), profileWith({ totals: [] }));
    const remark = { row: 0, start: 0, end: 0, text: '# a remark\n' };
    granted(wrong, { edits: [remark, { row: 0, start: 12, end: 14, text: '04' }] });
    refused(wrong, { edits: [remark, { row: 0, start: 12, end: 14, text: '05' }] }, /sum of line 1 would be wrong/);
  });

  it('refuses a locked byte also where the seal goes in the same change', () => {
    const sealed = dumpOf(`@seal ${sealOf(dump)}\n${LINES}`);
    const edits = [{ row: 1, start: 3, end: 5, text: '02' }];
    refused(sealed, { edits }, /Byte 1 of line 1 is locked/, { elsewhere: true });
  });

  it('writes nothing into a dump that is only to compare with, not even elsewhere', () => {
    for (const head of ['@use comparison\n', '@use Comparison\n', '@use comparison\n@use work\n']) {
      const dump = dumpOf(head + LINES);
      for (const permit of [{}, { elsewhere: true }]) {
        const why = whyNotWritable(dump, permit)?.why;
        assert.match(why === undefined ? '' : say(why), /only here to compare with/, head);
        refused(dump, { writes: [write(dump, 2, 2, 0x21)] }, /only here to compare with/, permit);
      }
    }
    assert.equal(whyNotWritable(dumpOf(`@use another-module\n${LINES}`)), undefined);
  });

  it('writes nothing into a dump that does not say clearly what it is here for', () => {
    for (const head of [
      ...['@use comparision', '@use', '@use comparison and more', '@use another-module\n@use', '@use another module'],
      ...['@use another-module\n@use work', '@Use comparison', '@uses another-module', '@use=comparison'],
      ...['@use: comparison', '@use-comparison', '@ use comparison'],
    ]) {
      const unclear = dumpOf(`${head}\n${LINES}`);
      const why = whyNotWritable(unclear)?.why;
      assert.match(why === undefined ? '' : say(why), /does not say what the dump is here for|"@use" is here/, head);
      refused(unclear, { writes: [write(unclear, 2, 2, 0x21)] }, /./);
    }
    for (const head of ['@user Bob', '@usable', '@note use comparison'])
      assert.equal(whyNotWritable(dumpOf(`${head}\n${LINES}`)), undefined, head);
  });

  it('takes no locked byte back from a sealed dump that is set aside, or does not say clearly what it is here for', () => {
    const changed = dumpOf(LINES.replace('1: 01 02', '1: 02 01'));
    const back = { writes: [write(changed, 1, 1, 0x01), write(changed, 1, 2, 0x02)] };
    const backup = (head: string) => dumpOf(`${head}@seal ${sealOf(dump)}\n${LINES}`);
    assert.equal(granted(changed, back, { backup: backup('') }), LINES);
    for (const head of ['@use comparison', '@use another-module', '@use comparision', '@use', '@Use comparison'])
      refused(changed, back, /locked/, { backup: backup(`${head}\n`) });
  });

  it('says beforehand that no byte may be written into a sealed file, and that some may be elsewhere', () => {
    const sealed = dumpOf(`@seal ${sealOf(dump)}\n${LINES}`);
    const why = whyNotWritable(sealed)?.why;
    assert.match(why === undefined ? '' : say(why), /sealed backup/);
    assert.equal(whyNotWritable(sealed, { elsewhere: true }), undefined);
    assert.equal(whyNotWritable(dump), undefined);
  });

  it('a second seal is no reason against a result elsewhere, which carries none; a second VIN is', () => {
    const seals = `@seal ${sealOf(dump)}\n@seal sha256:00\n`;
    const twice = dumpOf(seals + LINES);
    const wish = (one: Dump) => ({ writes: [write(one, 2, 1, 0x00), write(one, 2, 2, 0x30)] });
    assert.equal(granted(twice, wish(twice), { elsewhere: true }), LINES.replace('2: 10 20', '2: 00 30'));
    const vins = dumpOf(`@vin ONE\n@vin TWO\n${LINES}`);
    refused(vins, wish(vins), /"@vin" is here a second time/, { elsewhere: true });
  });

  it('refuses everything in a sealed file, also headers; elsewhere the result carries no seal', () => {
    const text = `@seal ${sealOf(dump)}\n${LINES}`;
    const sealed = dumpOf(text);
    const writes = [write(sealed, 2, 1, 0x00), write(sealed, 2, 2, 0x30)];
    refused(sealed, { writes }, /sealed/);
    refused(sealed, { edits: [{ row: 0, start: 0, end: 0, text: '@note x\n' }] }, /sealed/);
    assert.equal(granted(sealed, { writes }, { elsewhere: true }), LINES.replace('2: 10 20', '2: 00 30'));
  });

  it('refuses every byte by a profile with a problem, and names the first', () => {
    for (const more of [{ lockd: [] }, { locked: {} }, { options: [{ id: 'x', line: 1, byte: 1, scael: 2 }] }]) {
      const flawed = dumpOf(LINES, profileWith(more));
      refused(flawed, { writes: honest }, /The profile has problems \(\d+\), so nothing is written/);
      granted(flawed, { edits: [{ row: 0, start: 0, end: 0, text: '# a remark\n' }] });
    }
  });

  it('refuses what is for another module, and asks where the dump does not say', () => {
    const profile = { ...profileWith(), appliesTo: { part: ['RB-20??-*'], software: [] } };
    const at = (header: string) => dumpOf(header + LINES, profile);
    const wish = (one: Dump) => ({ writes: [write(one, 2, 1, 0x00), write(one, 2, 2, 0x30)] });
    granted(at('@part rb-20 41-07\n'), wish(at('@part rb-20 41-07\n')));
    const other = at('@part RB-2141-07\n');
    refused(other, wish(other), /for another module: "@part" is "RB-2141-07" here/, { unconfirmed: true });
    const silent = at('');
    const asked = changeDump(silent, wish(silent));
    assert.deepEqual(asked.ok ? undefined : asked.asks, { kind: 'unconfirmed' });
    granted(silent, wish(silent), { unconfirmed: true });
  });

  it('refuses a changed line whose own sum nobody knows how to make, unless the whole line is as in the backup', () => {
    const unknown = dumpOf(LINES, profileWith({ lineSum: undefined }));
    const moved = [write(unknown, 2, 1, 0x00), write(unknown, 2, 2, 0x30)];
    refused(unknown, { writes: moved }, /line 2 ends in a sum, but not how it is made/);
    const backup = dumpOf(LINES.replace('2: 10 20', '2: 00 30'), unknown.profile);
    granted(unknown, { writes: moved }, { backup });
    granted(unknown, { writes: [write(unknown, 2, 1, 0x10)] });
  });
});
