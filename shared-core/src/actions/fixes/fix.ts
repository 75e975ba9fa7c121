import { type Phrase, phrase } from '../../base/phrase.js';
import type { Result } from '../../base/result.js';
import type { Change } from '../change.js';

/** Something that can be done about a problem, titled by what it does. */
export type Fix = ChangeFix | WishFix | CommandFix;

/** A change of the dump; where it is refused, the reason is shown in its place. */
export interface ChangeFix {
  readonly kind: 'change';
  readonly title: Phrase;
  readonly result: Result<Change>;
  readonly preferred?: boolean;
}

/** A change that takes a search: it is found by `workOut`. */
export interface WishFix {
  readonly kind: 'wish';
  readonly title: Phrase;
  /** The title where not all sums are known to be right afterwards. */
  readonly otherwise: Phrase;
  /** What is known to be touched before the change is found, in a few words. */
  readonly caution: Phrase | undefined;
  readonly wish: FixWish;
}

/** An option, by its id, set to a raw value; or every sum made right. */
export type FixWish =
  | { readonly kind: 'set'; readonly id: string; readonly raw: bigint }
  | { readonly kind: 'all-sums' };

/** A command of the editor, for what a person has to choose or to write. */
export interface CommandFix {
  readonly kind: 'command';
  readonly title: Phrase;
  readonly command: 'learn' | 'rebalance' | 'readAs' | 'openProfile' | 'heading' | 'similar';
  readonly argument?: string | readonly string[];
}

/** A fix that is worth a place in a menu only where it can be done. */
export function ifPossible(fix: ChangeFix): readonly ChangeFix[] {
  return fix.result.ok && fix.result.value.edits.length > 0 ? [fix] : [];
}

/** The title of a fix with the cautions of its change in short, which every editor shows before the change is made. */
export function titleOf(fix: Fix): Phrase {
  switch (fix.kind) {
    case 'change':
      return cautious(fix.title, fix.result.ok ? fix.result.value.inShort : undefined);
    case 'wish':
      return cautious(fix.title, fix.caution);
    case 'command':
      return fix.title;
  }
}

function cautious(title: Phrase, inShort: Phrase | undefined): Phrase {
  return inShort === undefined ? title : phrase('{0} {1}', title, inShort);
}
