import {
  byteAtColumn,
  caution,
  choicesOf,
  editLine,
  editsOf,
  type Option,
  optionSpan,
  optionsAt,
  readOption,
  setOption,
  wordsOrHex,
} from '../../../../shared-core/src/index.js';
import type { Choice, CompletionPlace } from './place.js';

/**
 * The values of the option at the cursor, each with its words. Only the digits of the option are written; the sums are
 * then marked as wrong, and their quick fixes right them.
 */
export function optionValueChoices({ session, explained, position, row }: CompletionPlace): Choice[] {
  const { dump } = explained;
  const byte = row.kind === 'record' ? byteAtColumn(dump, row, position.character) : undefined;
  if (byte === undefined) return [];
  return optionsAt(dump, { row: position.line, byte }).flatMap((option) => valuesOf(option));

  function valuesOf(option: Option): Choice[] {
    const reading = readOption(dump, option);
    const span = reading && optionSpan(dump, reading);
    if (span === undefined || position.character < span.start || position.character > span.end) return [];
    const says = caution(option.hazards);
    return choicesOf(dump, option).flatMap(({ raw, current }): Choice[] => {
      const set = setOption(dump, option, raw);
      if (!set.ok) return [];
      const digits = editLine(row.text, editsOf(dump, set.value)).slice(span.start, span.end);
      return [
        {
          label: digits,
          words: `${option.title}: ${wordsOrHex(option, raw)}${current ? ' ←' : ''}`,
          ...(says !== undefined && { note: session.say(says) }),
          text: digits,
          filter: row.text.slice(span.start, span.end),
          span,
          kind: 'value',
        },
      ];
    });
  }
}
