import { type Change, type Consent, changeInFull } from '../../shared-core/src/actions/index.js';
import type { Phrase, Refused, Result } from '../../shared-core/src/base/index.js';
import type { Accepted, EditResult, Refusal } from '../../shared-core/src/protocol/common.js';
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
  const { edits, after, cautions, says: done } = result.value;
  return {
    edit: toWorkspaceEdit(session, analysis, edits),
    version: analysis.version,
    says: session.say(says ?? done),
    inFull: changeInFull(analysis.dump, after).map(session.say),
    cautions: cautions.map(session.say),
  };
}
