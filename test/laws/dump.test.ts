import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { setOptions } from '../../shared-core/src/actions/setOptions.js';
import { hex, type TextEdit } from '../../shared-core/src/base/index.js';
import { checkDump } from '../../shared-core/src/checks/index.js';
import { inSpacingOf } from '../../shared-core/src/compare/index.js';
import { dumpText } from '../../shared-core/src/format/dumpText.js';
import { readRows, replaceText, textOfRows } from '../../shared-core/src/format/index.js';
import { afterWrites, editsOf } from '../../shared-core/src/model/byteWrite.js';
import type { Wish } from '../../shared-core/src/model/gate.js';
import { bind, byteAt, type Dump, readOption, rebind, wrongTotals } from '../../shared-core/src/model/index.js';
import { EMPTY_PROFILE, readProfile } from '../../shared-core/src/profile/index.js';
import { freeCells } from '../../shared-core/src/repair/freeCells.js';
import { rebalance } from '../../shared-core/src/repair/rebalance.js';
import { repairAll, rightSums } from '../../shared-core/src/repair/repairAll.js';
import { restoreLine } from '../../shared-core/src/repair/restore.js';
import { demoDump, demoFile, demoProfile, dumpOf } from '../support/demo.js';
import { conditionsOf, unsealed } from '../support/edits.js';
import { loaded, SOUND } from '../support/loaded.js';
import { SEVERAL_TEXT, severalProfile } from '../support/severalNumbers.js';
import { times } from '../support/times.js';

const READ = { kind: 'read' } as const;
const NO_BACKUP = { kind: 'none' } as const;

/** Text as dumps have it, and as they have it not: labels, hex, dividers, comments, line ends of all kinds, noise. */
const dumpLike = fc
  .array(
    fc.constantFrom(
      '1',
      '2',
      '0x1F',
      '1-9',
      '2-1',
      '10-0',
      'total',
      ':',
      ' ',
      '\t',
      '|',
      '#',
      '@profile',
      '@vin ',
      'A',
      '4b',
      '0O',
      '\n',
      '\r\n',
      '\r',
      'é',
      '\0',
      '𝔽',
    ),
    { maxLength: 60 },
  )
  .map((parts) => parts.join(''));

function applyEdits(text: string, edits: readonly TextEdit[]): string {
  const rows = readRows(text, dumpText).map((row) => row.text);
  for (const edit of [...edits].sort((a, b) => b.row - a.row || b.start - a.start)) {
    const line = rows[edit.row] as string;
    rows[edit.row] = line.slice(0, edit.start) + edit.text + line.slice(edit.end);
  }
  return rows.join('');
}

const problems = (dump: Dump) => checkDump(loaded(dump, READ, NO_BACKUP));

/** The dump after a wish, whatever it is: the gate has tests of its own. */
function restoredBy(dump: Dump, { writes = [], edits = [] }: Wish): Dump {
  return edits.length > 0 ? dumpOf(applyEdits(textOfRows(dump.rows), edits), dump.profile) : afterWrites(dump, writes);
}

/** One number a line, several, and none that is known. */
const PROFILES = [demoProfile('cluster'), severalProfile, EMPTY_PROFILE];

describe('laws of reading', () => {
  it('rows hold the text without loss, whatever it is', () => {
    fc.assert(fc.property(fc.oneof(dumpLike, fc.string()), (text) => textOfRows(readRows(text, dumpText)) === text));
  });

  it('any text and any profile are checked without a throw, and every problem lies inside its row', () => {
    fc.assert(
      fc.property(
        dumpLike,
        fc.oneof(fc.constant(demoFile('cluster.dump-profile.json')), fc.json(), fc.string()),
        (text, source) => {
          const dump = dumpOf(text, readProfile(source).profile);
          for (const { row, start, end } of problems(dump)) {
            assert.ok(start >= 0 && start <= end && end <= (dump.rows[row]?.text.length ?? -1));
          }
        },
      ),
    );
  });

  it('reading the lines an edit touches = reading the whole text', () => {
    const edits = fc.array(fc.tuple(fc.nat(), fc.nat(), fc.nat(), fc.nat(), dumpLike), { maxLength: 4 });
    fc.assert(
      fc.property(dumpLike, edits, fc.constantFrom(...PROFILES), (text, changes, profile) => {
        let rows = readRows(text, dumpText);
        let dump = bind(rows, dumpText, profile);
        for (const [a, b, c, d, put] of changes) {
          const startRow = a % rows.length;
          const endRow = startRow + (b % (rows.length - startRow));
          const content = (row: number) => (rows[row]?.text ?? '').replace(/[\r\n]+$/, '').length;
          const start = { row: startRow, column: c % (content(startRow) + 1) };
          let end = { row: endRow, column: d % (content(endRow) + 1) };
          if (startRow === endRow && end.column < start.column) end = start;
          const next = replaceText(rows, { start, end, text: put }, dumpText);
          dump = rebind(dump, next.rows, next.change);
          rows = next.rows;
          const whole = readRows(textOfRows(rows), dumpText);
          assert.deepEqual(
            rows.map(({ text: line }) => line),
            whole.map(({ text: line }) => line),
          );
          sameAs(dump, bind(whole, dumpText, profile));
        }
      }),
      times(200),
    );
  });
});

/** What is shown of two dumps is the same. */
function sameAs(dump: Dump, other: Dump): void {
  assert.deepEqual(dump.states, other.states);
  assert.deepEqual(problems(dump), problems(other));
}

describe('laws of editing a dump that is whole', () => {
  it('typing over digits, one by one: checks by difference = checks from scratch', () => {
    const edit = fc.tuple(fc.nat(), fc.nat(), fc.constantFrom('0', 'F', '7', 'x', '', '-'));
    const several = dumpOf(SEVERAL_TEXT, severalProfile);
    fc.assert(
      fc.property(
        fc.constantFrom(demoDump('rear-body.cfgdump'), demoDump('cluster.cfgdump'), several),
        fc.array(edit, { maxLength: 8 }),
        (sound, edits) => {
          let dump = sound;
          for (const [a, b, put] of edits) {
            const row = a % dump.rows.length;
            const column = b % Math.max(1, dump.rows[row]?.text.length ?? 1);
            const next = replaceText(
              dump.rows,
              { start: { row, column }, end: { row, column: column + 1 }, text: put },
              dumpText,
            );
            dump = rebind(dump, next.rows, next.change);
          }
          sameAs(dump, dumpOf(textOfRows(dump.rows), dump.profile));
        },
      ),
      times(100),
    );
  });
});

/** A sound demo dump with one nibble of one data byte changed. */
const broken = fc
  .tuple(
    fc.constantFrom('rear-body.as-found.cfgdump', 'cluster.as-found.cfgdump'),
    fc.nat(),
    fc.nat(),
    fc.integer({ min: 1, max: 15 }),
    fc.boolean(),
  )
  .map(([name, a, b, flip, high]) => {
    const sound = demoDump(name);
    const row = sound.layout.order[a % sound.layout.order.length] as number;
    const byte = b % (sound.layout.dataCount[row] as number);
    const value = (byteAt(sound.rows, { row, byte }) ?? 0) ^ (high ? flip << 4 : flip);
    return { sound, row, byte, dump: afterWrites(sound, [{ row, byte, value, reason: 'restore' }]) };
  });

describe('laws of repair', () => {
  it('a changed nibble is always found, by the line sum and by the total', () => {
    fc.assert(
      fc.property(broken, ({ dump, row }) => {
        const found = problems(dump);
        assert.ok(found.some((problem) => problem.code === 'line-sum' && problem.row === row));
        assert.ok(found.some(({ code }) => code === 'total-sum'));
      }),
    );
  });

  it('taking the line from the backup leads back to the text as it was', () => {
    fc.assert(
      fc.property(broken, ({ dump, sound, row }) => {
        const label = (sound.rows[row] as { label: number }).label;
        assert.equal(textOfRows(restoredBy(dump, restoreLine(dump, sound, label)).rows), textOfRows(sound.rows));
      }),
    );
  });

  it('making all sums right leaves none wrong, and changes no character outside the digits it writes', () => {
    fc.assert(
      fc.property(broken, ({ dump }) => {
        const repair = repairAll(dump, { totals: 'keep' });
        if (!repair.ok) return;
        const after = afterWrites(dump, repair.value.writes);
        assert.deepEqual(
          problems(after).filter(({ code }) => code.endsWith('-sum')),
          [],
        );
        const edits = editsOf(dump, repair.value.writes);
        assert.equal(applyEdits(textOfRows(dump.rows), edits), textOfRows(after.rows));
        for (const edit of edits) assert.match(edit.text, /^[0-9A-F]$/);
        const planned = new Set(repair.value.writes.map(({ row, byte }) => `${row}:${byte}`));
        dump.rows.forEach((_, row) => {
          for (let byte = 0; byte < 10; byte++) {
            const cell = { row, byte };
            if (!planned.has(`${row}:${byte}`)) assert.equal(byteAt(after.rows, cell), byteAt(dump.rows, cell));
          }
        });
      }),
    );
  });

  it('what an editor may do when saving never touches a data byte', () => {
    fc.assert(
      fc.property(broken, ({ dump }) => {
        const sums = rightSums(dump);
        if (!sums.ok) return;
        for (const { row, byte, reason } of sums.value) {
          assert.ok(reason === 'line-sum' || reason === 'total');
          assert.ok(byte >= (dump.layout.dataCount[row] as number));
        }
      }),
    );
  });

  it('rebalancing with any line brings the total back to what is stored, or says why not', () => {
    fc.assert(
      fc.property(broken, fc.nat(), ({ dump }, pick) => {
        const row = dump.layout.order[pick % dump.layout.order.length] as number;
        const wrong = wrongTotals(dump);
        const repair = rebalance(dump, freeCells(dump, row), wrong);
        if (!repair.ok) return;
        const after = afterWrites(dump, repair.value.writes);
        assert.deepEqual(wrongTotals(after), []);
        assert.ok(!after.wrongSums.includes(row));
        const locked = new Set(freeCells(dump, row).map(({ byte }) => byte));
        for (const write of repair.value.writes) if (write.reason === 'balance') assert.ok(locked.has(write.byte));
      }),
    );
  });

  it('setting an option and setting it back gives the text as it was', () => {
    const sound = unsealed(demoDump('rear-body.as-found.cfgdump'));
    const choice = fc.constantFrom(...sound.profile.options.filter(({ meaning }) => meaning.kind === 'values'));
    fc.assert(
      fc.property(choice, fc.nat(), (option, pick) => {
        const values = option.meaning.kind === 'values' ? [...option.meaning.words.keys()] : [];
        const { id } = option;
        const consent = { despite: conditionsOf(sound) };
        const set = (dump: Dump, raw: bigint) => setOptions(loaded(dump, SOUND), [{ id, to: { raw } }], consent);
        const there = set(sound, BigInt(values[pick % values.length] as number));
        assert.ok(there.ok);
        const back = set(there.value.after, readOption(sound, option)?.raw ?? -1n);
        assert.ok(back.ok);
        assert.equal(textOfRows(back.value.after.rows), textOfRows(sound.rows));
      }),
    );
  });

  it('a dump in the spelling of another differs from it in digits only', () => {
    fc.assert(
      fc.property(broken, ({ dump, sound }) => {
        const left = inSpacingOf(dump, sound).split('');
        const right = textOfRows(dump.rows).split('');
        assert.equal(left.length, right.length);
        assert.ok(left.every((character, i) => character === right[i] || /[0-9A-F]/.test(character)));
      }),
    );
  });
});

describe('the arithmetic of the trade (common practice, no published source)', () => {
  const two = (row: number, byte: number, dump: Dump, by: number) => [
    { row, byte, value: (byteAt(dump.rows, { row, byte }) ?? 0) + by, reason: 'restore' as const },
  ];

  it('adding 2 to a data byte adds 2 to the line sum; taking 2 from another line leaves the file sum', () => {
    const sound = demoDump('rear-body.as-found.cfgdump');
    const row = sound.layout.rowOf(4) as number;
    const other = sound.layout.rowOf(17) as number;
    const raised = afterWrites(sound, two(row, 2, sound, 2));
    const stored = byteAt(raised.rows, { row, byte: 6 }) ?? 0;
    const lineSum = (dump: Dump, at: number) =>
      problems(dump).find((found) => found.code === 'line-sum' && found.row === at)?.expected;
    assert.equal(lineSum(raised, row), hex(stored + 2));
    const both = afterWrites(raised, two(other, 5, raised, -2));
    assert.deepEqual(wrongTotals(both), []);
    assert.equal(lineSum(both, other), hex((byteAt(both.rows, { row: other, byte: 6 }) ?? 0) - 2));
  });
});
