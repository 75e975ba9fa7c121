import { phrase } from '../../base/phrase.js';
import { finish, type Steps } from '../../base/steps.js';
import type { Problem } from '../../checks/problem.js';
import { lineCalled } from '../../model/lineName.js';
import { addEndRecord, rightRecordCount } from '../../repair/records.js';
import type { Allowance } from '../../repair/solver/system.js';
import { changeOf, type Subject } from '../change.js';
import { copyFixes } from './copyFixes.js';
import type { Fix } from './fix.js';
import { headingFixes } from './headingFixes.js';
import { emptyLine, ownLineFix, readAsFix, replaceFix, restoreFix } from './lineFixes.js';
import { needFixes, valueFixes } from './optionFixes.js';
import { slotFixes } from './slotFixes.js';
import { addTotal, lineSumFix, totalFixes } from './sumFixes.js';

/**
 * The fixes for one problem, best first. `commands` says whether the editor carries out commands of its own. Ways to
 * balance that the allowance does not suffice to find are left out.
 */
export function fixesFor(subject: Subject, problem: Problem, commands: boolean, allowance?: Allowance): readonly Fix[] {
  return finish(fixesForInSteps(subject, problem, commands, allowance));
}

/** The same in steps. */
export function* fixesForInSteps(
  subject: Subject,
  problem: Problem,
  commands: boolean,
  allowance?: Allowance,
): Steps<readonly Fix[]> {
  const fixes = yield* allFixes(subject, problem, commands, allowance);
  return fixes.filter(({ kind }) => commands || kind !== 'command');
}

function* allFixes(
  subject: Subject,
  problem: Problem,
  commands: boolean,
  allowance: Allowance | undefined,
): Steps<readonly Fix[]> {
  const { dump } = subject;
  switch (problem.code) {
    case 'line-sum':
      return lineSumFix(subject, problem.row);
    case 'total-sum':
      return yield* totalFixes(subject, problem, commands, allowance);
    case 'copy-differs':
      return yield* copyFixes(subject, problem);
    case 'slot-torn':
      return yield* slotFixes(subject, problem);
    case 'total-missing':
      return addTotal(subject, problem);
    case 'not-hex':
    case 'header-unknown':
    case 'header-word':
    case 'vin-characters':
    case 'line-unknown':
      return [...replaceFix(subject, problem), ...(yield* restoreFix(subject, problem))];
    case 'line-repeated':
      return [
        emptyLine(subject, problem.row, phrase('Empty this second line {0}', lineCalled(subject.dump, problem.row))),
      ];
    case 'end-repeated':
      return [emptyLine(subject, problem.row, phrase('Empty the line of this second end record'))];
    case 'end-missing':
    case 'end-counted': {
      const title = phrase('Add the end record');
      return [{ kind: 'change', title, result: changeOf(subject, { edits: addEndRecord(dump) }, title, {}) }];
    }
    case 'text-unreadable':
      return [
        ...readAsFix(problem),
        ...ownLineFix(subject, problem),
        ...headingFixes(subject, problem),
        ...(yield* restoreFix(subject, problem)),
      ];
    case 'record-count': {
      const title = phrase('Correct the count');
      const edits = rightRecordCount(dump, problem.row);
      return [{ kind: 'change', title, result: changeOf(subject, { edits }, title, {}) }];
    }
    case 'line-not-read':
      return headingFixes(subject, problem);
    case 'option-value':
    case 'option-range':
      return valueFixes(subject, problem);
    case 'option-needs':
      return needFixes(subject, problem);
    case 'form-unknown':
      if (subject.profile.kind !== 'none') return [];
      return [{ kind: 'command', title: phrase('Work Out the Checksum Rule'), command: 'learn' }];
    case 'no-profile':
      return dump.rows.some(({ kind }) => kind !== 'blank')
        ? [{ kind: 'command', title: phrase('Work out the checksum rule'), command: 'learn' }]
        : [];
    case 'profile-invalid':
    case 'profile-stale':
    case 'profile-unreadable':
      return [{ kind: 'command', title: phrase('Go to the first problem of the profile'), command: 'openProfile' }];
    default:
      return yield* restoreFix(subject, problem);
  }
}
