import type {
  Accepted,
  Change,
  Consent,
  EditResult,
  Phrase,
  Refusal,
  Refused,
  Result,
} from '../../shared-core/src/index.js';
import type { Analysis, Session } from './session.js';
import { toWorkspaceEdit } from './toLsp.js';

/** What a person has accepted, as actions take it. */
export function toConsent({ unconfirmed, despite }: Accepted): Consent {
  return { unconfirmed, despite };
}

/** A refusal as the client takes it: the sentence, and what a person may accept. */
export function toRefusal({ say }: Pick<Session, 'say'>, { why, asks, helps }: Refused): Refusal {
  return { refused: say(why), ...(asks && { asks }), ...(helps && { helps }) };
}

/** The result of an action as the client takes it. */
export function toEditResult(
  session: Session,
  analysis: Analysis,
  result: Result<Change>,
  says?: Phrase,
): EditResult | Refusal {
  if (!result.ok) return toRefusal(session, result);
  const { edits, cautions, says: done } = result.value;
  return {
    edit: toWorkspaceEdit(session, analysis, edits),
    version: analysis.version,
    says: session.say(says ?? done),
    cautions: cautions.map(session.say),
  };
}
