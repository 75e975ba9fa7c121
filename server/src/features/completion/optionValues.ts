import { type Change, setOptionsInSteps } from '../../../../shared-core/src/actions/index.js';
import {
  editLine,
  listed,
  phrase,
  type Result,
  type RowSpan,
  type Steps,
  type TextEdit,
} from '../../../../shared-core/src/base/index.js';
import {
  byteAtColumn,
  optionSpan,
  optionsAt,
  readOption,
  shownValue,
} from '../../../../shared-core/src/model/index.js';
import { choicesOf } from '../../../../shared-core/src/options/index.js';
import type { Option } from '../../../../shared-core/src/profile/index.js';
import type { Allowance } from '../../../../shared-core/src/repair/index.js';
import { allowanceOfRequest, withShare } from '../../allowance.js';
import { withDependents } from '../../dependents.js';
import type { CancellationToken } from '../../lsp.js';
import { inSlices, pauses } from '../../slices.js';
import type { Choice, CompletionPlace } from './place.js';

/**
 * The values of the option at the cursor, each with its words; choosing one keeps all sums right, as every other way
 * does. A value for which that takes more work than falls to it is left out: the list of options has it.
 */
export async function optionValueChoices(place: CompletionPlace, cancel: CancellationToken): Promise<Choice[]> {
  const { explained, position, row } = place;
  const { dump } = explained;
  const byte = row.kind === 'record' ? byteAtColumn(dump, row, position.character) : undefined;
  if (byte === undefined) return [];
  const values = optionsAt(dump, { row: position.line, byte }).flatMap((option) => valuesAt(place, option));
  const allowance = allowanceOfRequest();
  const pause = pauses(cancel);
  const subject = values.length > 0 ? await withDependents(place.session, explained) : explained;
  const choices: Choice[] = [];
  for (const [i, value] of values.entries()) {
    await pause();
    const wish = { id: value.option.id, to: { raw: value.raw } };
    const setWithin = function* (share: Allowance): Steps<Result<Change> | undefined> {
      const result = yield* setOptionsInSteps(subject, [wish], {}, { totals: 'keep', allowance: share });
      return share.left < 0 ? undefined : result;
    };
    const set = await inSlices(withShare(allowance, values.length - i, setWithin), cancel);
    if (set?.ok) choices.push(choiceOf(place, value, set.value));
  }
  return choices;
}

interface Value {
  readonly option: Option;
  readonly span: RowSpan;
  readonly raw: bigint;
  readonly current: boolean;
}

function valuesAt({ explained: { dump }, position: { character } }: CompletionPlace, option: Option): readonly Value[] {
  const reading = readOption(dump, option);
  const span = reading && optionSpan(dump, reading);
  if (span === undefined || character < span.start || character > span.end) return [];
  return choicesOf(dump, option).map(({ raw, current }) => ({ option, span, raw, current }));
}

function choiceOf({ session, row }: CompletionPlace, { option, span, raw, current }: Value, change: Change): Choice {
  const isHere = (edit: TextEdit) => edit.row === span.row && edit.start >= span.start && edit.end <= span.end;
  const digits = editLine(row.text, change.edits.filter(isHere)).slice(span.start, span.end);
  const { cautions, inShort } = change;
  return {
    label: digits,
    words: `${session.say(phrase('{0}: {1}', option.title, shownValue(option, raw)))}${current ? ' ←' : ''}`,
    ...(inShort !== undefined && { caution: session.say(inShort) }),
    ...(cautions.length > 0 && { note: session.say(listed(cautions, ' ')) }),
    text: digits,
    also: change.edits.filter((edit) => !isHere(edit)),
    filter: row.text.slice(span.start, span.end),
    span,
    kind: 'value',
  };
}
