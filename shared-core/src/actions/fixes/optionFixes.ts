import { phrase } from '../../base/phrase.js';
import type { Problem } from '../../checks/problem.js';
import type { Dump } from '../../model/dump.js';
import { optionsAt, readOption, shownValue } from '../../model/optionReading.js';
import { byteAtColumn } from '../../model/spans.js';
import { choicesOf } from '../../options/choices.js';
import { shortCaution } from '../../options/hazard.js';
import type { Option } from '../../profile/profile.js';
import type { Subject } from '../change.js';
import type { WishFix } from './fix.js';

/** Known values for an option whose value the profile does not know. */
export function valueFixes(subject: Subject, { row, start }: Problem): readonly WishFix[] {
  return optionFixes(subject, row, start);
}

/** What the option at a problem needs, set as it should be. */
export function needFixes(subject: Subject, { row, start }: Problem): readonly WishFix[] {
  const { dump } = subject;
  return optionsAtColumn(dump, row, start).flatMap((option) =>
    option.needs.flatMap((condition) => {
      const other = dump.profile.options.find(({ id }) => condition.profile === undefined && id === condition.option);
      const now = other && readOption(dump, other)?.raw;
      const [first] = condition.in;
      if (other === undefined || first === undefined || condition.in.some((value) => BigInt(value) === now)) return [];
      return [settingFix(other, BigInt(first))];
    }),
  );
}

/** What the options at a place of the text can be set to. */
export function optionFixes(subject: Subject, row: number, column: number): readonly WishFix[] {
  return optionsAtColumn(subject.dump, row, column).flatMap((option) =>
    choicesOf(subject.dump, option)
      .filter(({ current }) => !current)
      .map(({ raw }) => settingFix(option, raw)),
  );
}

function optionsAtColumn(dump: Dump, row: number, column: number): readonly Option[] {
  const record = dump.rows[row];
  const byte = record?.kind === 'record' ? byteAtColumn(dump, record, column) : undefined;
  return byte === undefined ? [] : optionsAt(dump, { row, byte });
}

function settingFix(option: Option, raw: bigint): WishFix {
  const words = shownValue(option, raw);
  return {
    kind: 'wish',
    title: phrase('Set {0} to {1} (sums kept right)', option.title, words),
    otherwise: phrase('Set {0} to {1} (not all sums are known to be right)', option.title, words),
    caution: shortCaution(option.hazards),
    wish: { kind: 'set', id: option.id, raw },
  };
}
