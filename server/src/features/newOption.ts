import {
  fieldsToName,
  HAZARDS,
  type HazardChoice,
  hazardInWords,
  NEW_OPTION,
  type NewOptionParams,
  type NewOptionResult,
  namedByHand,
  phrase,
  type Refusal,
} from '../../../shared-core/src/index.js';
import { answerOrRefuse, type Feature } from '../feature.js';
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

function fieldsIn(
  session: Session,
  { dump, name, profile, profileFile }: Analysis,
  { selection: { start, end } }: NewOptionParams,
): NewOptionResult | Refusal {
  if (profile.kind === 'unreadable')
    return { refused: session.say(phrase('The profile cannot be read: {0}', profile.why)) };
  // A line that is selected as a whole ends at the head of the next one.
  const last = end.line === start.line + 1 && end.character === 0 ? Number.POSITIVE_INFINITY : end.character;
  const isOneRow = end.line === start.line || last !== end.character;
  const fields = fieldsToName(dump, isOneRow ? start.line : -1, { start: start.character, end: last });
  if (!fields.ok) return toRefusal(session, fields);
  return {
    profile: profile.kind === 'read' && profileFile !== undefined ? profileFile : null,
    fields: fields.value.map((field) => ({
      words: session.say(field.words),
      width: field.width,
      now: field.now,
      option: namedByHand(field, name),
    })),
    hazards: hazardChoices(session),
  };
}

/** What a wrong setting of an option may touch, to choose from. */
export function hazardChoices({ say }: Pick<Session, 'say'>): readonly HazardChoice[] {
  return HAZARDS.map((id) => ({ id, words: say(hazardInWords(id)) }));
}
