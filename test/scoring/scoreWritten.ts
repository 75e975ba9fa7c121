// Texts as programs save them, learned: how many of each kind are right, undecided and wrong.
import { numbers } from '../shared-core/learn/dumps.js';
import { type Sampling, sample } from './sample.js';
import { scoreDamaged, scoreWritten, type WrittenOutcome } from './written.js';
import { KINDS, writerOf } from './writtenTexts.js';

/** Prints the figures of `lots` texts of each kind, whole and with damaged lines; whether none was wrong. */
export function scoreWrittenTexts(
  lots: number,
  seed: number,
  { seconds }: Sampling,
  shown: readonly string[] = [],
): boolean {
  const each = { seconds: seconds === undefined ? undefined : seconds / 2 };
  const all: readonly (readonly [string, typeof scoreWritten])[] = [
    ['Texts as programs save them', scoreWritten],
    ['The same with two damaged lines', scoreDamaged],
  ];
  const cases = Array.from({ length: lots }, (_, lot) => KINDS.map((kind) => ({ kind, lot }))).flat();
  return all
    .map(([title, score]) => {
      const rows: Record<string, Record<WrittenOutcome, number>> = {};
      for (const { kind, lot } of sample(title, cases, each)) {
        const beginning = seed + lot * 131;
        const next = numbers(beginning);
        const { outcome, why } = score(writerOf(kind, next), next);
        const known = rows[kind] ?? { right: 0, undecided: 0, none: 0, wrong: 0 };
        rows[kind] = { ...known, [outcome]: known[outcome] + 1 };
        if (outcome === 'wrong' || shown.includes(outcome))
          console.log(`${outcome}, ${kind}, beginning ${beginning}: ${why}`);
      }
      console.table(rows);
      return Object.values(rows).every(({ wrong }) => wrong === 0);
    })
    .every(Boolean);
}
