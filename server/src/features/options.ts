import {
  afterWrites,
  caution,
  cautionsOfChange,
  certaintyOf,
  choicesOf,
  type Dump,
  editsOf,
  flagsSet,
  hazardInWords,
  hex,
  listed,
  OPTIONS,
  type Option,
  type OptionChoice,
  type OptionItem,
  type OptionsResult,
  optionPlaceInWords,
  optionProblems,
  optionSpan,
  optionWidth,
  phrase,
  type Refusal,
  readOption,
  readOptionValueIn,
  SET_OPTION,
  type SetOptionParams,
  type SetOptionResult,
  setOption,
  setOptions,
  valuesInWords,
  wordsOrHex,
} from '../../../shared-core/src/index.js';
import type { Feature } from '../feature.js';
import type { Analysis, Session } from '../session.js';
import { toRange, toWorkspaceEdit } from '../toLsp.js';

/** The options of a dump as a list to choose from, and the edit that sets one of them. */
export const optionList: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest(OPTIONS, async ({ uri }: { uri: string }): Promise<OptionsResult | null> => {
      const explained = await session.analyze(uri);
      return explained === undefined ? null : optionsFor(session, explained);
    });
    connection.onRequest<SetOptionResult | Refusal, void>(SET_OPTION, async (params: SetOptionParams) => {
      const explained = await session.analyze(params.uri);
      return explained === undefined
        ? { refused: session.say(phrase('Open the dump first.')) }
        : settingOf(session, explained, params);
    });
  },
};

export function optionsFor(session: Session, explained: Analysis): OptionsResult {
  const { version, dump, profile } = explained;
  const list = dump.profile.options.map((option) => itemOf(session, explained, option));
  const unexplained = profile.kind === 'none' ? 'unexplained' : 'unreadable';
  const state = profile.kind !== 'read' ? unexplained : list.length === 0 ? 'empty' : 'options';
  return { version, state, options: list };
}

function itemOf({ say }: Session, { dump, backup }: Analysis, option: Option): OptionItem {
  const reading = readOption(dump, option);
  const was = backup.kind === 'read' ? readOption(backup.dump, option)?.raw : undefined;
  const span = reading && optionSpan(dump, reading);
  const trial = setOption(dump, option, reading?.raw ?? 0n);
  const limits = valuesInWords(option);
  const says = caution(option.hazards);
  const { hazards, confidence, evidence } = option;
  return {
    id: option.id,
    title: option.title,
    group: option.group ?? null,
    place: say(optionPlaceInWords(option)),
    range: span === undefined ? null : toRange(span),
    now: reading === undefined ? null : wordsOrHex(option, reading.raw),
    before: was === undefined || was === reading?.raw ? null : wordsOrHex(option, was),
    caution: says === undefined ? null : { touches: say(listed(hazards.map(hazardInWords))), says: say(says) },
    certainty:
      confidence === undefined ? null : { confidence, says: say(certaintyOf(confidence)), evidence: evidence ?? null },
    refused: trial.kind === 'refused' ? say(trial.why) : null,
    form: option.meaning.kind,
    choices: choiceItems(dump, option, reading?.raw, was),
    limits: limits === undefined ? null : say(limits),
  };
}

function choiceItems(dump: Dump, option: Option, now: bigint | undefined, was: bigint | undefined): OptionChoice[] {
  if (option.meaning.kind === 'flags') {
    return [...option.meaning.words].map(([bit, words]) => {
      const isSet = (raw: bigint | undefined) => raw !== undefined && ((raw >> BigInt(bit)) & 1n) === 1n;
      return { value: String(bit), digits: hex(1 << bit), words, current: isSet(now), before: isSet(was) };
    });
  }
  return choicesOf(dump, option).map(({ raw, words, current }) => ({
    value: String(raw),
    digits: hex(raw, Math.ceil(optionWidth(option) / 4)),
    words,
    current,
    before: raw === was,
  }));
}

/** The edit that sets an option, the sums kept right; nothing is refused that the quick fix does, nor the reverse. */
export function settingOf(
  session: Session,
  explained: Analysis,
  { id, to, despite = [] }: SetOptionParams,
): SetOptionResult | Refusal {
  const { say } = session;
  const { dump, version, modules } = explained;
  const option = dump.profile.options.find((known) => known.id === id);
  if (option === undefined) return { refused: say(phrase('The profile has no option "{0}" any more.', id)) };
  const value = valueAsked(dump, option, to);
  if ('why' in value) return { refused: say(value.why) };
  const repair = setOptions(dump, [{ option, raw: value.raw }]);
  if (repair.kind === 'refused') return { refused: say(repair.why) };
  const after = afterWrites(dump, repair.writes);
  const open = new Set(needsOf(dump));
  const unmet = needsOf(after).filter((need) => !open.has(need));
  if (unmet.length > 0 && !despite.includes(id))
    return { refused: unmet.join(' '), asks: { kind: 'despite', options: [id] } };
  return {
    edit: toWorkspaceEdit(session, explained, editsOf(dump, repair.writes)),
    version,
    says: say(
      phrase(
        '{0} becomes {1}: {2} bytes change, all sums kept right',
        option.title,
        wordsOrHex(option, value.raw),
        repair.writes.length,
      ),
    ),
    cautions: cautionsOfChange(dump, after).map(say),
  };

  function needsOf(version: Dump): string[] {
    return optionProblems(version, modules)
      .filter(({ code }) => code === 'option-needs')
      .map(({ message }) => say(message));
  }
}

function valueAsked(dump: Dump, option: Option, to: SetOptionParams['to']): ReturnType<typeof readOptionValueIn> {
  if ('written' in to) return readOptionValueIn(dump, option, to.written);
  if ('flags' in to) return { raw: flagsSet(dump, option, to.flags.map(Number)) };
  return { raw: BigInt(to.value) };
}
