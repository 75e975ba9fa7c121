import { phrase } from '../../base/phrase.js';
import type { Problem } from '../../checks/problem.js';
import { allSumsRight } from '../../checks/sumsLeft.js';
import type { Dump } from '../../model/dump.js';
import { optionsAt, readOption, wordsOrHex } from '../../model/optionReading.js';
import { byteAtColumn } from '../../model/spans.js';
import { choicesOf } from '../../options/choices.js';
import { shortCaution } from '../../options/hazard.js';
import type { Option } from '../../profile/profile.js';
import type { Subject } from '../change.js';
import { setOptions } from '../setOptions.js';
import type { Fix } from './fix.js';

/** Known values for an option whose value the profile does not know. */
export function valueFixes(subject: Subject, { row, start }: Problem): readonly Fix[] {
  return optionFixes(subject, row, start);
}

/** What the option at a problem needs, set as it should be. */
export function needFixes(subject: Subject, { row, start }: Problem): readonly Fix[] {
  const { dump } = subject;
  return optionsAtColumn(dump, row, start).flatMap((option) =>
    option.needs.flatMap((condition) => {
      const other = dump.profile.options.find(({ id }) => condition.profile === undefined && id === condition.option);
      const now = other && readOption(dump, other)?.raw;
      const [first] = condition.in;
      if (other === undefined || first === undefined || condition.in.some((value) => BigInt(value) === now)) return [];
      return [settingFix(subject, other, BigInt(first))];
    }),
  );
}

/** What the options at a place of the text can be set to. */
export function optionFixes(subject: Subject, row: number, column: number): readonly Fix[] {
  return optionsAtColumn(subject.dump, row, column).flatMap((option) =>
    choicesOf(subject.dump, option)
      .filter(({ current }) => !current)
      .map(({ raw }) => settingFix(subject, option, raw)),
  );
}

function optionsAtColumn(dump: Dump, row: number, column: number): readonly Option[] {
  const record = dump.rows[row];
  const byte = record?.kind === 'record' ? byteAtColumn(dump, record, column) : undefined;
  return byte === undefined ? [] : optionsAt(dump, { row, byte });
}

/** The caution is in the title, which every editor shows before the change is made. */
function settingFix(subject: Subject, option: Option, raw: bigint): Fix {
  const result = setOptions(subject, [{ id: option.id, to: { raw } }]);
  const words = wordsOrHex(option, raw);
  const title =
    result.ok && !allSumsRight(result.value.sums)
      ? phrase('Set {0} to {1} (not all sums are known to be right)', option.title, words)
      : phrase('Set {0} to {1} (sums kept right)', option.title, words);
  const touches = shortCaution(option.hazards);
  return { kind: 'change', title: touches === undefined ? title : phrase('{0} {1}', title, touches), result };
}
