import { type Phrase, phrase } from '../base/phrase.js';
import type { ProblemCode } from '../checks/diagnostics.js';
import {
  entries,
  isObject,
  items,
  type JsonValue,
  knownKeys,
  member,
  missing,
  type ProfileProblem,
  readJson,
  real,
  spanOf,
  text,
  wholeOf,
  wrong,
} from '../profile/json.js';
import type { Check, Measure, ModuleChange, OptionChange, Retrofit } from './retrofit.js';

const KEYS = ['$schema', 'format', 'title', 'before', 'changes', 'after', 'try', 'cautions'];

const EMPTY: Retrofit = { title: undefined, before: [], changes: [], after: [], try: [], cautions: [] };

export interface RetrofitReading {
  /** What could be understood; undefined where the text is torn: half a retrofit would leave a module half set. */
  readonly retrofit: Retrofit | undefined;
  readonly problems: readonly RetrofitFault[];
}

export type RetrofitCode = Extract<ProblemCode, `retrofit-${string}`>;

/** What is wrong with the file by itself. */
export interface RetrofitFault extends Omit<ProfileProblem, 'code'> {
  readonly code: RetrofitCode;
}

/** Reads a retrofit file. Any text gives what was understood and a list of problems; nothing throws. */
export function readRetrofit(source: string): RetrofitReading {
  const { root, problems } = readJson(source);
  if (root === undefined) return { retrofit: undefined, problems: faults(problems) };
  knownKeys(root, KEYS);
  const format = member(root, 'format');
  if (format === undefined) missing(root, phrase('"format": 1 is missing.'));
  else if (wholeOf(format.node.value) !== 1)
    wrong(format, phrase('This form of retrofit is not known here; "format" is 1.'));
  const changes = member(root, 'changes');
  if (changes === undefined) missing(root, phrase('"changes" is missing: what each module is to be set to.'));
  const retrofit: Retrofit = {
    ...EMPTY,
    title: text(member(root, 'title')),
    before: readChecks(member(root, 'before')),
    changes: readChanges(changes),
    after: readTexts(member(root, 'after')),
    try: readChecks(member(root, 'try')),
    cautions: readTexts(member(root, 'cautions')),
  };
  return { retrofit, problems: faults(problems) };
}

function faults(problems: readonly ProfileProblem[]): readonly RetrofitFault[] {
  return problems
    .map(
      ({ code, ...rest }): RetrofitFault => ({
        ...rest,
        code: code === 'profile-unreadable' ? 'retrofit-unreadable' : 'retrofit-invalid',
      }),
    )
    .sort((a, b) => a.span.start - b.span.start);
}

function readTexts(list: JsonValue | undefined): readonly string[] {
  return items(list).flatMap((value) => text(value) ?? []);
}

/** A check is a text, or an object where something is measured. */
function readChecks(list: JsonValue | undefined): readonly Check[] {
  return items(list).flatMap((value): Check | readonly [] => {
    if (typeof value.node.value === 'string') return { text: value.node.value, measure: undefined };
    if (!isObject(value)) return [];
    knownKeys(value, ['check', 'unit', 'min', 'max']);
    const given = member(value, 'check');
    const words = text(given);
    if (given === undefined) missing(value, phrase('"check" is missing: what is to be looked at or measured.'));
    return words === undefined ? [] : { text: words, measure: readMeasure(value) };
  });
}

function readMeasure(value: JsonValue): Measure | undefined {
  const unit = text(member(value, 'unit'));
  const min = real(member(value, 'min'));
  const max = real(member(value, 'max'));
  const highest = member(value, 'max');
  if (min !== undefined && max !== undefined && highest !== undefined && min > max)
    wrong(highest, phrase('"max" is below "min".'));
  if (unit === undefined && (min !== undefined || max !== undefined))
    missing(value, phrase('"unit" is missing: what "min" and "max" are measured in.'));
  return unit === undefined ? undefined : { unit, min, max };
}

function readChanges(list: JsonValue | undefined): readonly ModuleChange[] {
  const seen = new Set<string>();
  if (list !== undefined)
    somethingIn(
      list,
      phrase("This retrofit changes nothing. Name a module's profile, and what its options are to be set to."),
    );
  return items(list).flatMap((value): ModuleChange | readonly [] => {
    if (!isObject(value)) return [];
    knownKeys(value, ['profile', 'set']);
    const named = member(value, 'profile');
    const profile = text(named);
    if (named === undefined)
      missing(value, phrase('"profile" is missing: the path of the module\'s profile from this file.'));
    const set = member(value, 'set');
    if (set === undefined) missing(value, phrase('"set" is missing: options by their ids, each with its value.'));
    if (named !== undefined && profile !== undefined && seen.has(profile)) {
      wrong(named, phrase('"{0}" stands here twice; put all its options into one.', profile));
      return [];
    }
    if (profile === undefined || set === undefined || !isObject(set)) return [];
    seen.add(profile);
    somethingIn(
      set,
      phrase('Nothing is to be set in this module. Name an option with its value, or take the module out.'),
    );
    return { profile, set: readSettings(set), source: spanOf((named ?? value).node) };
  });
}

/** Says so where a list or an object is empty: carrying it out would do nothing and look like success. */
function somethingIn(value: JsonValue, otherwise: Phrase): void {
  const { type, children = [] } = value.node;
  if ((type === 'array' || type === 'object') && children.length === 0) missing(value, otherwise);
}

function readSettings(set: JsonValue): readonly OptionChange[] {
  const seen = new Set<string>();
  return entries(set).flatMap(([option, value, key]): OptionChange | readonly [] => {
    const written: unknown = value.node.value;
    if (seen.has(option)) return [];
    seen.add(option);
    if (typeof written !== 'string' && typeof written !== 'number') {
      wrong(value, phrase('The words of the value are wanted here, or its number.'));
      return [];
    }
    return { option, value: String(written), source: spanOf(value.node), idSource: spanOf(key.node) };
  });
}
