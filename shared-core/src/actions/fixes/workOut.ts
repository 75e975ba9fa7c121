import { type Phrase, phrase } from '../../base/phrase.js';
import { refuse } from '../../base/result.js';
import type { Steps } from '../../base/steps.js';
import { allSumsRight } from '../../checks/sumsLeft.js';
import { changeInWords } from '../../repair/repairInWords.js';
import { type Allowance, isUsedUp } from '../../repair/solver/system.js';
import type { Subject } from '../change.js';
import { fixInSteps } from '../repair.js';
import { setOptionsInSteps } from '../setOptions.js';
import { type ChangeFix, titleOf, type WishFix } from './fix.js';

/**
 * The change that a fix wishes for: the same as by every other way. Undefined where the allowance does not suffice to
 * find it, so that nothing is known of it.
 */
export function* workOut(subject: Subject, wished: WishFix, allowance?: Allowance): Steps<ChangeFix | undefined> {
  const { wish } = wished;
  const plan = { totals: 'keep', allowance } as const;
  const result =
    wish.kind === 'set'
      ? yield* setOptionsInSteps(subject, [{ id: wish.id, to: { raw: wish.raw } }], {}, plan)
      : yield* fixInSteps(subject, plan);
  if (isUsedUp(allowance)) return undefined;
  if (!result.ok) return { kind: 'change', title: titleOf(wished), result };
  const title = allSumsRight(result.value.sums) ? wished.title : wished.otherwise;
  const said = wish.kind === 'set' ? title : phrase('{0} ({1})', title, changeInWords(result.value.writes));
  return { kind: 'change', title: said, result };
}

/** Stands for a change that was not found within the allowance: where it can be had instead. */
export function notWorkedOut(wished: WishFix): ChangeFix {
  return { kind: 'change', title: titleOf(wished), result: refuse(whereElse(wished.wish.kind)) };
}

function whereElse(kind: WishFix['wish']['kind']): Phrase {
  return kind === 'set'
    ? phrase('This change takes too long to find for a menu. Use "Set an Option…", or "countersum set" in a terminal.')
    : phrase(
        'This change takes too long to find for a menu. Use "Correct All Checksums", or "countersum fix" in a terminal.',
      );
}
