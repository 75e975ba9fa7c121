// Texts as programs save them, learned: how many of each kind are right, undecided and wrong.
import { numbers } from '../shared-core/learn/dumps.js';
import { scoreDamaged, scoreWritten, type WrittenOutcome } from './written.js';
import { KINDS, type Kind, writerOf } from './writtenTexts.js';

/** Prints the figures of `lots` texts of each kind, whole and with damaged lines; whether none was wrong. */
export function scoreWrittenTexts(lots: number, beginning: number, shown: readonly string[] = []): boolean {
  const all: readonly (readonly [string, typeof scoreWritten])[] = [
    ['Texts as programs save them', scoreWritten],
    ['The same with two damaged lines', scoreDamaged],
  ];
  return all
    .map(([title, score]) => {
      const rows = Object.fromEntries(KINDS.map((kind) => [kind, scoreKind(kind, score, lots, beginning, shown)]));
      console.log(`${title}, ${lots} of each kind, beginning ${beginning}`);
      console.table(rows);
      return Object.values(rows).every(({ wrong }) => wrong === 0);
    })
    .every(Boolean);
}

function scoreKind(kind: Kind, score: typeof scoreWritten, lots: number, beginning: number, shown: readonly string[]) {
  const counts: Record<WrittenOutcome, number> = { right: 0, undecided: 0, none: 0, wrong: 0 };
  for (let lot = 0; lot < lots; lot++) {
    const next = numbers(beginning + lot * 131);
    const { outcome, why } = score(writerOf(kind, next), next);
    counts[outcome]++;
    if (outcome === 'wrong' || shown.includes(outcome))
      console.log(`${outcome}, ${kind}, beginning ${beginning + lot * 131}: ${why}`);
  }
  return counts;
}
