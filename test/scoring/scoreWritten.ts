// Texts as programs save them, learned: how many of each kind are right, undecided and wrong. `npm run score -- written`.
import { numbers } from '../shared-core/learn/dumps.js';
import { scoreWritten, type WrittenOutcome } from './written.js';
import { KINDS, writerOf } from './writtenTexts.js';

/** Prints the figures of `lots` texts of each kind; whether none was wrong. */
export function scoreWrittenTexts(lots: number, beginning: number, shown: readonly string[] = []): boolean {
  const rows: Record<string, Record<WrittenOutcome, number>> = {};
  let isSound = true;
  for (const kind of KINDS) {
    const counts = { right: 0, undecided: 0, none: 0, wrong: 0 };
    for (let lot = 0; lot < lots; lot++) {
      const next = numbers(beginning + lot * 131);
      const writer = writerOf(kind, next);
      const { outcome, why } = scoreWritten(writer, next);
      counts[outcome]++;
      if (outcome === 'wrong' || shown.includes(outcome))
        console.log(`${outcome}, ${kind}, beginning ${beginning + lot * 131}: ${why}`);
      isSound &&= outcome !== 'wrong';
    }
    rows[kind] = counts;
  }
  console.log(`Texts as programs save them, ${lots} of each kind, beginning ${beginning}`);
  console.table(rows);
  return isSound;
}
