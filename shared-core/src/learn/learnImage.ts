import { phrase } from '../base/phrase.js';
import { readRows } from '../format/rows.js';
import { bind } from '../model/dump.js';
import { EMPTY_PROFILE } from '../profile/readProfile.js';
import { DRAFT_TITLE, type DraftProfile } from './draftProfile.js';
import type { RecordsOfText } from './learnForm/dumps.js';
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
    addresses: rangeAsJson(range),
  };
  return {
    candidates: [
      {
        profile,
        lines,
        linesExplained: 0,
        totalExplained: undefined,
        chance: 1,
        chances: { lines: null, total: null },
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

/**
 * Lines whose labels are the addresses of their first bytes, one line after the other, as raw bytes are shown: what is
 * learned is the range of the addresses. Undefined where they are no addresses.
 */
export function learnAddresses(dumps: readonly RecordsOfText[]): Learning | undefined {
  const ranges = dumps.map(({ lines }) => {
    const follows = lines.every(({ label }, i) => {
      const before = lines[i - 1];
      return (
        typeof label === 'number' && (before === undefined || label === Number(before.label) + before.bytes.length)
      );
    });
    const [first, last] = [lines[0], lines.at(-1)];
    return follows && first !== undefined && last !== undefined && first !== last && first.bytes.length > 1
      ? { from: Number(first.label), to: Number(last.label) + last.bytes.length - 1 }
      : undefined;
  });
  const [range] = ranges;
  if (range === undefined || ranges.some((other) => other?.from !== range.from || other.to !== range.to))
    return undefined;
  return {
    candidates: [
      {
        profile: { format: 1, title: DRAFT_TITLE, addresses: rangeAsJson(range) },
        lines: dumps.reduce((sum, { lines }) => sum + lines.length, 0),
        linesExplained: 0,
        totalExplained: undefined,
        chance: 1,
        chances: { lines: null, total: null },
        damaged: [],
        unread: [],
        unmarked: [],
        undecided: false,
      },
    ],
    remarks: [
      phrase(
        'The lines are called by the addresses of their bytes. Sums over the data were not searched for: add known ones under "totals".',
      ),
    ],
  };
}

function rangeAsJson({ from, to }: { readonly from: number; readonly to: number }): { from: string; to: string } {
  const address = (value: number) => `0x${value.toString(16).toUpperCase()}`;
  return { from: address(from), to: address(to) };
}
