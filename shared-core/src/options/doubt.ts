import { type Phrase, phrase } from '../base/phrase.js';
import type { Option } from '../profile/profile.js';
import { evidenceInShort } from '../profile/searchEvidence.js';

/** That what the profile says of an option is not confirmed, with what speaks for it in a sentence; undefined where it is. */
export function doubtOf({ title, confidence, evidence }: Option): Phrase | undefined {
  if (confidence !== 'guess' && confidence !== 'likely') return undefined;
  const said =
    confidence === 'guess'
      ? phrase('What the profile says of {0} is unconfirmed (guess).', title)
      : phrase('What the profile says of {0} is likely, not confirmed.', title);
  return evidence === undefined ? said : phrase('{0} {1}', said, evidenceInShort(evidence));
}
