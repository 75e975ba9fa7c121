import { textAfter, textOfRows } from '../../../shared-core/src/format/index.js';
import type { ModulePlan } from '../../../shared-core/src/jobs/index.js';
import type { Rewrite } from '../files/save.js';
import { encoded } from './encoded.js';
import { type Disk, pathOf } from './load.js';
import { writeToJson } from './repair.js';

/** The new texts of the modules of a plan that changes them. */
export function rewritesOf(disk: Disk, modules: readonly ModulePlan[]): readonly Rewrite[] {
  return modules
    .filter(({ change }) => change.edits.length > 0)
    .map(({ file, before, change }) => ({
      file: pathOf(file),
      before: textOfRows(before.rows),
      text: textAfter(before.rows, change.edits),
      bytesOf: (text) => encoded(disk, pathOf(file), text).bytes,
    }));
}

/** A module of a plan, for scripts. */
export function moduleToJson({ name, before, change: { writes }, options }: ModulePlan): object {
  return {
    file: name,
    options: options.map(({ option: { id, title }, before: was, after }) => ({ id, title, before: was, after })),
    edits: writes.map((write) => writeToJson(before, write)),
  };
}
