import { hex, phrase } from '../../../shared-core/src/base/index.js';
import {
  bitsText,
  fieldsToName,
  namedByHand,
  optionsInDigits,
  widenedValues,
} from '../../../shared-core/src/learn/index.js';
import type { Dump } from '../../../shared-core/src/model/index.js';
import { hazardInWords } from '../../../shared-core/src/options/index.js';
import { HAZARDS } from '../../../shared-core/src/profile/index.js';
import type { Refusal } from '../../../shared-core/src/protocol/common.js';
import {
  type HazardChoice,
  NEW_OPTION,
  type NewOptionParams,
  type NewOptionResult,
  type TakenOption,
} from '../../../shared-core/src/protocol/learning.js';
import { fileName } from '../../../shared-core/src/workspace/index.js';
import { answerOrRefuse, type Feature } from '../feature.js';
import { dumpsOfModule } from '../moduleDumps.js';
import type { Analysis, Session } from '../session.js';
import { toRefusal } from '../toChange.js';

/** Digits that a person selects as a new option of the profile. */
export const newOption: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<NewOptionResult | Refusal, void>(NEW_OPTION, (params: NewOptionParams) =>
      answerOrRefuse(session, params.uri, (analysis) => fieldsIn(session, analysis, params)),
    );
  },
};

async function fieldsIn(
  session: Session,
  { file, dump, name, profile, profileFile }: Analysis,
  { selection: { start, end } }: NewOptionParams,
): Promise<NewOptionResult | Refusal> {
  if (profile.kind === 'unreadable')
    return { refused: session.say(phrase('The profile cannot be read: {0}', profile.why)) };
  // A line that is selected as a whole ends at the head of the next one.
  const last = end.line === start.line + 1 && end.character === 0 ? Number.POSITIVE_INFINITY : end.character;
  const isOneRow = end.line === start.line || last !== end.character;
  const [row, selected] = [isOneRow ? start.line : -1, { start: start.character, end: last }];
  const fields = fieldsToName(dump, row, selected);
  const taken = optionsInDigits(dump, row, selected);
  if (!fields.ok && taken.length === 0) return toRefusal(session, fields);
  // What an option means in more bits is known of dumps of the same profile alone.
  const all = taken.some(({ widened }) => widened !== undefined) ? await dumpsOfModule(session, file) : undefined;
  const dumps = all?.dumps.map((one) => one.dump) ?? [dump];
  return {
    profile: profile.kind === 'read' && profileFile !== undefined ? profileFile : null,
    fields: (fields.ok ? fields.value : []).map((field) => ({
      words: session.say(field.words),
      width: field.width,
      now: field.now,
      option: namedByHand(field, name),
    })),
    hazards: hazardChoices(session),
    taken: taken.map((one) => takenOption(session, one, dumps)),
  };
}

function takenOption(
  { say }: Session,
  { option, widened }: ReturnType<typeof optionsInDigits>[number],
  dumps: readonly Dump[],
): TakenOption {
  const { id, title } = option;
  const [part] = option.parts;
  const have =
    part?.bits === undefined
      ? phrase('These bits are the option "{0}" already.', title)
      : part.bits.high === part.bits.low
        ? phrase('Bit {0} is the option "{1}" already.', part.bits.low, title)
        : phrase('Bits {0} are the option "{1}" already.', bitsText(part.bits), title);
  const { file: base = option.source.over?.file } = option.source;
  const says =
    base === undefined ? have : phrase('{0} It is described in {1}, which stays as it is.', have, fileName(base));
  if (widened === undefined || base !== undefined) return { id, title, says: say(says), widen: null };
  const { values, lost } = widenedValues(option, widened, dumps);
  const kept = Object.entries(values).map(([raw, words]) => `${hex(Number(raw), 1)} = ${words}`);
  const asks = [
    kept.length > 0
      ? phrase('It gets bits {0}, and by the dumps at hand the values {1}.', bitsText(widened), kept.join(', '))
      : phrase('It gets bits {0}, and no value: no dump at hand holds one of them.', bitsText(widened)),
    ...(lost.length > 0
      ? [
          phrase(
            'No dump at hand holds {0}: what that is in these bits nobody knows, and it is left out.',
            lost.join(', '),
          ),
        ]
      : []),
  ];
  return {
    ...{ id, title, says: say(says) },
    widen: { wish: { kind: 'widen', id, bits: bitsText(widened), values }, asks: asks.map(say) },
  };
}

/** What a wrong setting of an option may touch, to choose from. */
export function hazardChoices({ say }: Pick<Session, 'say'>): readonly HazardChoice[] {
  return HAZARDS.map((id) => {
    const words = say(id === 'other' ? phrase('the safety of people in another way') : hazardInWords(id));
    return { id, words: `${words.charAt(0).toUpperCase()}${words.slice(1)}` };
  });
}
