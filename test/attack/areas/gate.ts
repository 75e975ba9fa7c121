import { textAfter, textOfRows } from '../../../shared-core/src/format/index.js';
import { changeDump } from '../../../shared-core/src/model/gate.js';
import { type ByteWrite, bindText, type Dump } from '../../../shared-core/src/model/index.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';
import { type Dice, diceOf } from '../../support/dice.js';
import { FAMILY_MEMBERS, type FamilyMember } from '../../support/family.js';
import { harmIn } from '../../support/oracle/harm.js';
import { worn } from '../../support/person.js';
import { randomModule } from '../../support/randomModule.js';
import { type Area, failureOf } from '../area.js';

type Edit = Parameters<typeof textAfter>[1][number];

/** Any bytes and any lines, whatever would ask for them, at the one place where they become edits of a text. */
export const gate: Area = {
  name: 'gate',
  share: 28_000,
  open: () => ({ run: async (seed) => attackGate(diceOf(seed), seed) }),
};

function attackGate(dice: Dice, seed: number): string | undefined {
  const member = dice.once(3) ? dice.pick(FAMILY_MEMBERS) : randomModule(seed);
  const { profile } = readProfile(JSON.stringify(member.profile));
  const before = worn(dice, member.work, member.form, dice.pick([0, 0, 0, 1, 2]));
  const backup = dice.once(4) ? worn(dice, member.backup, member.form, 1) : member.backup;
  const [dump, kept] = [bindText(member.workFile, before, profile), bindText(member.backupFile, backup, profile)];
  const wish = { writes: randomWrites(dice, dump, kept), edits: dice.once(3) ? randomEdits(dice, dump, member) : [] };
  const changed = changeDump(dump, wish, dice.once(3) ? {} : { backup: kept });
  if (!changed.ok) return undefined;
  const { edits, after } = changed.value;
  const text = textAfter(dump.rows, edits);
  return failureOf([
    ...harmIn({ profile: member.profile, before, after: text, backup }),
    ...(text === textOfRows(after.rows) ? [] : ['the dump that it shows is not the text that it makes']),
  ]);
}

function randomWrites(dice: Dice, { rows }: Dump, kept: Dump): readonly ByteWrite[] {
  const cells = rows.flatMap((row, at) =>
    row.kind === 'record' ? Array.from({ length: row.count }, (_, byte) => ({ row: at, byte })) : [],
  );
  if (cells.length === 0) return [];
  return Array.from({ length: dice.int(1, 3) }, (): ByteWrite => {
    const cell = dice.pick(cells);
    const there = kept.rows[cell.row];
    const value = there?.kind === 'record' && dice.once(2) ? there.store[there.from + cell.byte] : dice.int(0, 255);
    return { ...cell, value: value ?? 0, reason: 'option' };
  });
}

function randomEdits(dice: Dice, { rows }: Dump, { backup }: FamilyMember): readonly Edit[] {
  const row = dice.int(0, rows.length - 1);
  const text = rows[row]?.text ?? '';
  const start = dice.int(0, text.length);
  const put = dice.pick(['', '\n', '00', '# ', ...backup.split('\n').map((line) => `${line}\n`)]);
  return [{ row, start: dice.once(2) ? 0 : start, end: dice.once(2) ? start : text.length, text: put }].map((edit) => ({
    ...edit,
    end: Math.max(edit.start, edit.end),
  }));
}
