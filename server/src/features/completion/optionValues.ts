import {
  byteAtColumn,
  caution,
  choicesOf,
  editLine,
  type Option,
  optionSpan,
  optionsAt,
  readOption,
  setOptions,
  type TextEdit,
  wordsOrHex,
} from '../../../../shared-core/src/index.js';
import type { Choice, CompletionPlace } from './place.js';

/** The values of the option at the cursor, each with its words; choosing one keeps all sums right, as every other way does. */
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
      const set = setOptions(explained, [{ id: option.id, to: { raw } }]);
      if (!set.ok) return [];
      const isHere = (edit: TextEdit) => edit.row === span.row && edit.start >= span.start && edit.end <= span.end;
      const here = set.value.edits.filter(isHere);
      const digits = editLine(row.text, here).slice(span.start, span.end);
      return [
        {
          label: digits,
          words: `${option.title}: ${wordsOrHex(option, raw)}${current ? ' ←' : ''}`,
          ...(says !== undefined && { note: session.say(says) }),
          text: digits,
          also: set.value.edits.filter((edit) => !isHere(edit)),
          filter: row.text.slice(span.start, span.end),
          span,
          kind: 'value',
        },
      ];
    });
  }
}
