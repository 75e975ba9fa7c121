import { listed, type Phrase, phrase } from '../../base/phrase.js';
import { done, type Result, refuse } from '../../base/result.js';
import { type CheckedDump, checkDump } from '../../checks/checkDump.js';
import type { Problem } from '../../checks/problem.js';
import { shownProblems } from '../../checks/shownProblems.js';
import { uncheckedByItself, unreadInWords, verdictOf } from '../../checks/verdict.js';
import { accountInWords, accountOf } from '../../model/account.js';
import { type HeaderName, headerValue } from '../../model/headers.js';
import { readOption, shownValue } from '../../model/optionReading.js';
import { certaintyOf, optionPlaceInWords } from '../../options/inWords.js';
import type { Option } from '../../profile/profile.js';
import { moduleTitle } from '../moduleTitle.js';
import { type Digits, digestOf, otherDigits } from './otherDigits.js';

/**
 * A dump in words by its profile alone: the same for the same vehicle, module and bytes, wherever they are written and
 * whatever else lies beside them. Its lines are named as it writes them; the digest does not depend on that.
 */
export interface ShownDump {
  /** Undefined where neither the dump nor its profile says it: names of files are no part of what is shown. */
  readonly module: string | undefined;
  readonly identity: readonly { readonly header: (typeof IDENTITY)[number]; readonly value: string }[];
  readonly options: readonly ShownOption[];
  readonly sums: Phrase;
  /** What is wrong with it, and what was not checked. */
  readonly problems: readonly Pick<Problem, 'code' | 'severity' | 'message'>[];
  readonly unchecked: readonly Phrase[];
  /** Data that no option and no sum holds. */
  readonly others: readonly Digits[];
  /** Of all data. */
  readonly sha256: string;
}

export interface ShownOption {
  readonly option: Option;
  readonly place: Phrase;
  /** Undefined where the dump does not have all of it. */
  readonly value: Phrase | undefined;
}

const IDENTITY = ['vehicle', 'vin', 'part', 'software'] as const satisfies readonly HeaderName[];

/** Refused where nothing of it can be read. */
export function shownDump(name: string, { dump, profile }: Pick<CheckedDump, 'dump' | 'profile'>): Result<ShownDump> {
  const checked: CheckedDump = { dump, profile, backup: { kind: 'none' }, modules: () => [] };
  const problems = checkDump(checked);
  const verdict = verdictOf(checked, problems);
  if (verdict.isUnread) return refuse(unreadInWords({ name, verdict }));
  return done({
    module: moduleTitle([{ name: '', dump }]) || undefined,
    identity: IDENTITY.flatMap((header) => {
      const value = headerValue(dump, header);
      return value === undefined ? [] : { header, value };
    }),
    options: dump.profile.options.map((option) => {
      const reading = readOption(dump, option);
      return {
        option,
        place: optionPlaceInWords(option, dump),
        value: reading && phrase('{0}', shownValue(option, reading.raw)),
      };
    }),
    sums: accountInWords(accountOf(dump)),
    problems: shownProblems(problems).filter(({ severity }) => severity !== 'information'),
    unchecked: uncheckedByItself(checked),
    others: otherDigits(dump),
    sha256: digestOf(dump),
  });
}

/** The same as lines. */
export function shownInWords(shown: ShownDump): readonly Phrase[] {
  const { module, identity, options, sums, problems, unchecked, others, sha256 } = shown;
  const groups = [...new Set(options.map(({ option }) => option.group))];
  return [
    ...(module === undefined ? [] : [listed([module])]),
    ...identity.map(({ header, value }) => phrase('{0}: {1}', IN_WORDS[header], value)),
    ...groups.flatMap((group) =>
      section(
        group === undefined ? phrase('Other options') : listed([group]),
        options.filter(({ option }) => option.group === group).map(optionInWords),
      ),
    ),
    ...section(phrase('Sums'), [sums]),
    ...section(phrase('What is wrong'), [
      ...problems.map(({ severity, code, message }) => listed([`${severity} ${code}`, message], ': ')),
      ...unchecked,
    ]),
    ...section(
      phrase('Data without an option'),
      others.map(({ called, digits }) => listed([called, digits], ': ')),
    ),
    NOTHING,
    phrase('SHA-256 of all data: {0}', sha256),
  ];
}

const NOTHING = listed([]);

export const CANNOT_BE_READ = phrase('cannot be read');

/** What a person calls what a header says. */
export const IN_WORDS: Readonly<Record<(typeof IDENTITY)[number], Phrase>> = {
  vehicle: phrase('Vehicle'),
  vin: phrase('VIN'),
  part: phrase('Part'),
  software: phrase('Software'),
};

function section(title: Phrase, lines: readonly Phrase[]): readonly Phrase[] {
  return lines.length === 0 ? [] : [NOTHING, title, ...lines.map((line) => listed(['  ', line], ''))];
}

function optionInWords({ option: { title, confidence }, value }: ShownOption): Phrase {
  const said = phrase('{0}: {1}', title, value ?? CANNOT_BE_READ);
  return confidence === undefined || confidence === 'confirmed' ? said : listed([said, certaintyOf(confidence)], ' · ');
}
