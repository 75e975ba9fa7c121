import { addEndRecord, type Problem, phrase, rightRecordCount } from '../../../../shared-core/src/index.js';
import type { Analysis } from '../../session.js';
import type { Fix } from './fix.js';
import { emptyLine, ownLineFix, readAsFix, replaceFix, restoreFix } from './lineFixes.js';
import { needFixes, valueFixes } from './optionFixes.js';
import { addTotal, lineSumFix, totalFixes } from './sumFixes.js';

/** The fixes for one problem, best first. `commands` says whether the client carries out the extension's own commands. */
export function fixesFor(explained: Analysis, problem: Problem, commands: boolean): readonly Fix[] {
  const { dump } = explained;
  switch (problem.code) {
    case 'line-sum':
      return [lineSumFix(dump, problem.row)];
    case 'total-sum':
      return totalFixes(dump, problem, commands);
    case 'total-missing':
      return addTotal(dump, problem);
    case 'not-hex':
    case 'header-unknown':
    case 'vin-characters':
      return [...replaceFix(problem), ...restoreFix(explained, problem)];
    case 'line-repeated':
      return [emptyLine(dump, problem.row, phrase('Empty this second line {0}', problem.label ?? ''))];
    case 'end-repeated':
      return [emptyLine(dump, problem.row, phrase('Empty the line of this second end record'))];
    case 'end-missing':
    case 'end-counted':
      return [{ kind: 'edits', title: phrase('Add the end record'), edits: addEndRecord(dump) }];
    case 'text-unreadable':
      return [...readAsFix(problem, commands), ...ownLineFix(dump, problem), ...restoreFix(explained, problem)];
    case 'record-count':
      return [{ kind: 'edits', title: phrase('Right the count'), edits: rightRecordCount(dump, problem.row) }];
    case 'option-value':
    case 'option-range':
      return valueFixes(explained, problem);
    case 'option-needs':
      return needFixes(explained, problem);
    case 'no-profile':
      return commands && dump.rows.some(({ kind }) => kind !== 'blank')
        ? [{ kind: 'command', title: phrase('Learn how this dump sums'), command: 'countersum.learn' }]
        : [];
    default:
      return restoreFix(explained, problem);
  }
}
