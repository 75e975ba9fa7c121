import type { Phrase } from '../../base/phrase.js';
import type { Result } from '../../base/result.js';
import type { Change } from '../change.js';

/** Something that can be done about a problem, titled by what it does. */
export type Fix = ChangeFix | CommandFix;

/** A change of the dump; where it is refused, the reason is shown in its place. */
export interface ChangeFix {
  readonly kind: 'change';
  readonly title: Phrase;
  readonly result: Result<Change>;
  readonly preferred?: boolean;
}

/** A command of the editor, for what a person has to choose or to write. */
export interface CommandFix {
  readonly kind: 'command';
  readonly title: Phrase;
  readonly command: 'learn' | 'rebalance' | 'readAs' | 'openProfile';
  readonly argument?: string;
}

/** A fix that is worth a place in a menu only where it can be done. */
export function ifPossible(fix: ChangeFix): readonly ChangeFix[] {
  return fix.result.ok && fix.result.value.edits.length > 0 ? [fix] : [];
}
