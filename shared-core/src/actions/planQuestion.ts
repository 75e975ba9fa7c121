import { listed, type Phrase, phrase } from '../base/phrase.js';
import { compareDumps } from '../compare/compareDumps.js';
import type { Dump } from '../model/dump.js';
import { doubtOf } from '../options/doubt.js';
import type { Change } from './change.js';
import { changeInFull } from './changeInFull.js';

/** What a person is asked to agree to before several dumps are written, short enough for a dialog. */
export interface PlanQuestion {
  /** Each dump that is written, with its options from their values to the new ones. */
  readonly inFull: readonly Phrase[];
  /** What to know before: which of these options are only a guess, and what each change says. */
  readonly cautions: readonly Phrase[];
}

/** The question about changes of several dumps; the bytes are in the page of their plan. */
export function planQuestion(
  modules: readonly { readonly name: string; readonly before: Dump; readonly change: Change }[],
): PlanQuestion {
  const written = modules
    .filter(({ change }) => change.edits.length > 0)
    .map((module) => ({ ...module, options: compareDumps(module.before, module.change.after).options }));
  return {
    inFull: written.map(({ name, options, before: was, change }) => {
      const set = options.map(({ option, before, after }) =>
        phrase('{0}: from {1} to {2}', option.title, before, after),
      );
      // Where all options are set already, sums are brought right: few bytes.
      return phrase('{0}: {1}', name, listed(set.length === 0 ? changeInFull(was, change.after) : set, '; '));
    }),
    cautions: written.flatMap(({ options, change }) => [
      ...options.flatMap(({ option }) => (option.confidence === 'guess' ? (doubtOf(option) ?? []) : [])),
      ...change.cautions,
    ]),
  };
}
