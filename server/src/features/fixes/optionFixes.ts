import type { Position } from 'vscode-languageserver';
import {
  backupDump,
  byteAtColumn,
  choicesOf,
  type Dump,
  type Option,
  optionsAt,
  type Problem,
  phrase,
  readOption,
  setOptions,
  wordsOrHex,
} from '../../../../shared-core/src/index.js';
import type { Analysis } from '../../session.js';
import { type Fix, fromRepair } from './fix.js';

export function valueFixes(explained: Analysis, problem: Problem): readonly Fix[] {
  const { dump } = explained;
  return optionsOf(dump, problem).flatMap((option) => choiceFixes(explained, option));
}

export function needFixes(explained: Analysis, problem: Problem): readonly Fix[] {
  const { dump } = explained;
  return optionsOf(dump, problem).flatMap((option) =>
    option.needs.flatMap((condition) => {
      const other = dump.profile.options.find(({ id }) => condition.profile === undefined && id === condition.option);
      const now = other && readOption(dump, other)?.raw;
      const [first] = condition.in;
      if (other === undefined || first === undefined || condition.in.some((value) => BigInt(value) === now)) return [];
      return [settingFix(explained, other, BigInt(first), wordsOrHex(other, BigInt(first)))];
    }),
  );
}

function optionsOf(dump: Dump, { row, start }: Problem): readonly Option[] {
  const record = dump.rows[row];
  const byte = record?.kind === 'record' ? byteAtColumn(dump, record, start) : undefined;
  return byte === undefined ? [] : optionsAt(dump, { row, byte });
}

/** What the options at the cursor can be set to. */
export function optionFixes(explained: Analysis, { line, character }: Position): readonly Fix[] {
  const { dump } = explained;
  const record = dump.rows[line];
  const byte = record?.kind === 'record' ? byteAtColumn(dump, record, character) : undefined;
  return byte === undefined
    ? []
    : optionsAt(dump, { row: line, byte }).flatMap((option) => choiceFixes(explained, option));
}

function choiceFixes(explained: Analysis, option: Option): readonly Fix[] {
  return choicesOf(explained.dump, option)
    .filter(({ current }) => !current)
    .map(({ raw, words }) =>
      settingFix(explained, option, raw, option.meaning.kind === 'flags' ? wordsOrHex(option, raw) : words),
    );
}

function settingFix({ dump, backup }: Analysis, option: Option, raw: bigint, words: string): Fix {
  const title = phrase('Set {0} to {1} (sums kept right)', option.title, words);
  const plan = { totals: 'keep', backup: backupDump(dump, backup) } as const;
  return fromRepair(dump, title, setOptions(dump, [{ option, raw }], plan));
}
