import type { Steps } from '../base/steps.js';
import { bindWithHeaders, type Dump } from '../model/dump.js';
import { readProfile } from '../profile/readProfile.js';
import type { DraftProfile } from './draftProfile.js';
import { learnSteps } from './learn.js';
import type { TextToLearn } from './learning.js';

/** Dumps without a profile, bound to what was learned of them, so that their sums are not taken for options. */
export interface LearnedDumps {
  readonly dumps: readonly Dump[];
  readonly profile: DraftProfile;
}

/** Undefined where nothing was learned. */
export function* bindLearnedSteps(texts: readonly TextToLearn[]): Steps<LearnedDumps | undefined> {
  const { candidates } = yield* learnSteps(texts);
  const [best] = candidates;
  if (best === undefined) return undefined;
  const { profile } = readProfile(JSON.stringify(best.profile));
  const dumps: Dump[] = [];
  for (const { name, text } of texts) {
    yield;
    dumps.push(bindWithHeaders(name, text, profile));
  }
  return { dumps, profile: best.profile };
}
