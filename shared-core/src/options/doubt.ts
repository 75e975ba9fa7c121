import { listed, type Phrase, phrase } from '../base/phrase.js';
import type { Option } from '../profile/profile.js';
import { evidenceInShort } from '../profile/searchEvidence.js';
import { observationInWords } from './inWords.js';

/**
 * That what the profile says of an option is not confirmed, with what speaks for it in a sentence, and that it was tried since
 * where somebody has noted that; undefined where it is confirmed.
 */
export function doubtOf({ title, confidence, evidence, seen }: Option): Phrase | undefined {
  if (confidence !== 'guess' && confidence !== 'likely') return undefined;
  const said =
    confidence === 'guess'
      ? phrase('What the profile says of {0} is unconfirmed (guess).', title)
      : phrase('What the profile says of {0} is likely, not confirmed.', title);
  const tried = seen?.observations.filter(({ how }) => how === 'set-and-tried').at(-1);
  return listed(
    [
      said,
      ...(evidence === undefined ? [] : [evidenceInShort(evidence)]),
      ...(tried === undefined ? [] : [phrase('Noted since: {0}.', observationInWords(tried))]),
    ],
    ' ',
  );
}
