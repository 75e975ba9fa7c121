import { phrase } from '../base/phrase.js';
import { readRows } from '../format/rows.js';
import { bind } from '../model/dump.js';
import { EMPTY_PROFILE } from '../profile/readProfile.js';
import { DRAFT_TITLE, type DraftProfile } from './draftProfile.js';
import type { LearnedForm } from './learnForm/form.js';
import type { Learning, TextToLearn } from './learning.js';

/**
 * A memory image's records are summed as its notation says, which explains no byte of its own: what is learned is the
 * range of its addresses, and nothing is counted as found.
 */
export function learnImage(form: LearnedForm, texts: readonly TextToLearn[]): Learning {
  const dumps = texts.map(({ text }) => bind(readRows(text, form.notation), form.notation, EMPTY_PROFILE));
  const starts = dumps.flatMap(({ layout }) => Array.from(layout.keys));
  const ends = dumps.flatMap(({ layout }) =>
    Array.from(layout.order, (row, i) => (layout.keys[i] as number) + (layout.dataCount[row] as number) - 1),
  );
  if (starts.length === 0) return { candidates: [], remarks: [phrase('These files hold no data records.')] };
  const address = (value: number) => `0x${value.toString(16).toUpperCase()}`;
  const range = { from: starts.reduce((a, b) => Math.min(a, b)), to: ends.reduce((a, b) => Math.max(a, b)) };
  const lines = dumps.reduce((sum, { rows }) => sum + rows.filter(({ kind }) => kind === 'record').length, 0);
  const wrong = dumps.flatMap(({ wrongSums, rows }, i) =>
    wrongSums.map((row) => {
      const record = rows[row];
      return { name: texts[i]?.name ?? '', label: record?.kind === 'record' ? record.label : '' };
    }),
  );
  const profile: DraftProfile = {
    format: 1,
    title: DRAFT_TITLE,
    notation: form.notation.id,
    addresses: { from: address(range.from), to: address(range.to) },
  };
  return {
    candidates: [
      {
        profile,
        lines,
        linesExplained: 0,
        totalExplained: undefined,
        chance: 1,
        damaged: wrong,
        unread: dumps.flatMap(({ rows }, i) =>
          rows.flatMap((row, at) => (row.kind === 'broken' ? { name: texts[i]?.name ?? '', row: at + 1 } : [])),
        ),
        unmarked: [],
        undecided: false,
      },
    ],
    remarks: [
      phrase(
        'The sums of the records belong to the written form. Sums over the data were not searched for: add known ones under "totals".',
      ),
    ],
  };
}
