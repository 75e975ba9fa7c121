import { type OptionWish, setOptionsInSteps, whyEvidence } from '../../../shared-core/src/actions/index.js';
import { done, hex, listed, phrase, type Result, refuse } from '../../../shared-core/src/base/index.js';
import {
  type Dump,
  isSealed,
  optionSpan,
  readOption,
  shownValue,
  whyNotWritable,
} from '../../../shared-core/src/model/index.js';
import {
  axisValue,
  caution,
  certaintyOf,
  hazardInWords,
  isFoundInBytes,
  optionPlaceInWords,
  valuesInWords,
  valuesOf,
  whyNotSettable,
} from '../../../shared-core/src/options/index.js';
import { evidenceInWords, type Option, optionWidth } from '../../../shared-core/src/profile/index.js';
import type { DumpParams, Refusal } from '../../../shared-core/src/protocol/common.js';
import {
  OPTIONS,
  type OptionChoice,
  type OptionItem,
  type OptionsResult,
  SET_OPTION,
  type SetOptionParams,
  type SetOptionResult,
} from '../../../shared-core/src/protocol/options.js';
import { withDependents, withEvidence } from '../dependents.js';
import { answer, answerOrRefuse, type Feature } from '../feature.js';
import type { CancellationToken } from '../lsp.js';
import { placeOf } from '../placeOf.js';
import type { Analysis, Session } from '../session.js';
import { inSlices } from '../slices.js';
import { toConsent, toEditResult } from '../toChange.js';

/** The options of a dump as a list to choose from, and the edit that sets one of them. */
export const optionList: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<OptionsResult | null, void>(OPTIONS, ({ uri }: DumpParams) =>
      answer<OptionsResult | null>(
        session,
        uri,
        async (explained) => optionsFor(session, await withEvidence(session, explained)),
        null,
      ),
    );
    connection.onRequest<SetOptionResult | Refusal, void>(
      SET_OPTION,
      (params: SetOptionParams, cancel: CancellationToken) =>
        answerOrRefuse(session, params.uri, (explained) => settingOf(session, explained, params, cancel)),
    );
  },
};

function optionsFor(session: Session, explained: Analysis): OptionsResult {
  const { version, dump, profile, backup } = explained;
  const list = dump.profile.options.map((option) => itemOf(session, explained, option));
  const unexplained = profile.kind === 'none' ? 'unexplained' : 'unreadable';
  const isShown = profile.kind === 'read' || (profile.kind === 'unreadable' && profile.isStale === true);
  const state = !isShown
    ? unexplained
    : list.length === 0
      ? 'empty'
      : list.every(({ isFound }) => isFound)
        ? 'found'
        : 'options';
  return {
    version,
    state,
    options: list,
    lacksBackup: backup.kind === 'none' && !isSealed(dump) && !explained.isReadBack,
  };
}

function itemOf({ say }: Session, explained: Analysis, option: Option): OptionItem {
  const { dump, backup } = explained;
  const reading = readOption(dump, option);
  const was = backup.kind === 'read' ? readOption(backup.dump, option)?.raw : undefined;
  const span = reading && optionSpan(dump, reading);
  // What a person may confirm is asked when a value is chosen.
  const refused =
    whyEvidence(explained) ?? whyNotWritable(dump, { unconfirmed: true })?.why ?? whyNotSettable(dump, option);
  const limits = valuesInWords(option);
  const says = caution(option.hazards);
  const { hazards, confidence, evidence } = option;
  return {
    id: option.id,
    title: option.title,
    group: option.group ?? null,
    table: tableOf(option),
    place: say(optionPlaceInWords(option, dump)),
    range: placeOf(dump, span),
    now: reading === undefined ? null : say(phrase('{0}', shownValue(option, reading.raw))),
    before: was === undefined || was === reading?.raw ? null : say(phrase('{0}', shownValue(option, was))),
    caution: says === undefined ? null : { touches: say(listed(hazards.map(hazardInWords))), says: say(says) },
    certainty:
      confidence === undefined
        ? null
        : {
            confidence,
            says: say(certaintyOf(confidence)),
            evidence: evidence === undefined ? null : say(evidenceInWords(evidence)),
          },
    isFound: isFoundInBytes(option),
    refused: refused === undefined ? null : say(refused),
    form: option.meaning.kind === 'counted-date' ? 'date' : option.meaning.kind,
    choices: choiceItems(dump, option, reading?.raw, was),
    limits: limits === undefined ? null : say(limits),
  };
}

function tableOf(option: Option): OptionItem['table'] {
  const { several } = option;
  const at = axisValue(option);
  return several === undefined || at === undefined
    ? null
    : { id: several.id, title: several.title, axis: several.axis?.name ?? '', at };
}

function choiceItems(dump: Dump, option: Option, now: bigint | undefined, was: bigint | undefined): OptionChoice[] {
  if (option.meaning.kind === 'flags') {
    return [...option.meaning.words].map(([bit, words]) => {
      const isSet = (raw: bigint | undefined) => raw !== undefined && ((raw >> BigInt(bit)) & 1n) === 1n;
      return { value: String(bit), digits: hex(1 << bit), words, current: isSet(now), before: isSet(was) };
    });
  }
  return valuesOf(dump, option).map(({ raw, words, current }) => ({
    value: String(raw),
    digits: hex(raw, Math.ceil(optionWidth(option) / 4)),
    words,
    current,
    before: raw === was,
  }));
}

/** The edit that sets an option, as every other door does it. */
async function settingOf(
  session: Session,
  explained: Analysis,
  { id, to, ...accepted }: SetOptionParams,
  cancel: CancellationToken,
): Promise<SetOptionResult | Refusal> {
  const subject = await withDependents(session, explained);
  const wish = wishOf(to);
  if (!wish.ok) return toEditResult(session, explained, wish);
  const steps = setOptionsInSteps(subject, [{ id, to: wish.value }], toConsent(accepted));
  const result = await inSlices(steps, cancel);
  return toEditResult(session, explained, result);
}

/** What a client wishes for; a raw value or the bit of a flag is written in digits. */
function wishOf(to: SetOptionParams['to']): Result<OptionWish['to']> {
  if ('written' in to) return done(to);
  const numbers = 'flags' in to ? to.flags : [to.value];
  const wrong = numbers.find((number) => !/^\d{1,80}$/.test(number));
  if (wrong !== undefined) return refuse(phrase('"{0}" is no raw value: it is written in decimal digits.', wrong));
  return done('flags' in to ? { flags: to.flags.map(Number) } : { raw: BigInt(to.value) });
}
