import { done, type Result } from '../base/result.js';
import type { LoadedDump } from '../checks/loadedDump.js';
import type { Dump } from '../model/dump.js';
import { areSame, type PassedImage, together } from '../scan/together.js';
import type { OpenedDump, Workspace } from './workspace.js';

/** A dump to be compared, under the name that a person calls it by. */
export interface FileToCompare {
  readonly file: string;
  readonly name: string;
  readonly profile: string | undefined;
}

/** What is made of dumps that are compared, and so which of their rows are needed. */
export type ToCompare = 'differences' | 'causes';

/**
 * Loads dumps that are to be compared with the first of them. Memory images are passed over, and only rows that differ are made
 * where that tells all: the causes of what differs may lie in any row.
 */
export function loadTogether(
  open: Workspace['open'],
  files: readonly FileToCompare[],
  wanted: ToCompare,
): Promise<Result<readonly LoadedDump[]>> {
  const all: Loaded[] = [];
  const loadFrom = async (index: number): Promise<Result<readonly LoadedDump[]>> => {
    const next = files[index];
    if (next === undefined) return compared();
    const { file, name, profile } = next;
    return open(file, { name, profile, rows: 'needed', contents: true }, async (opened) => {
      const loaded = await opened.load();
      if (!loaded.ok) return loaded;
      all.push({ opened, loaded: loaded.value });
      return loadFrom(index + 1);
    });
  };
  const compared = async (): Promise<Result<readonly LoadedDump[]>> => {
    const dumps = shortOf(all, wanted);
    const found: LoadedDump[] = [];
    for (const [index, { opened, loaded }] of all.entries()) {
      const dump = dumps?.[index];
      if (dump !== undefined) found.push({ ...loaded, dump });
      else if (opened.passed(loaded.dump) === 'whole') found.push(loaded);
      else {
        const whole = await opened.loadWhole();
        if (!whole.ok) return whole;
        found.push(whole.value);
      }
    }
    return done(found);
  };
  return loadFrom(0);
}

interface Loaded {
  readonly opened: OpenedDump;
  readonly loaded: LoadedDump;
}

/** The dumps with only the rows that they are compared by; undefined where all are needed. */
function shortOf(all: readonly Loaded[], wanted: ToCompare): readonly Dump[] | undefined {
  const passed: PassedImage[] = [];
  for (const { opened, loaded } of all) {
    const one = opened.passed(loaded.dump);
    if (one === undefined || one === 'whole') return undefined;
    if (wanted === 'causes' && loaded.backup.kind === 'read') return undefined;
    passed.push(one);
  }
  return wanted === 'causes' && !areSame(passed) ? undefined : together(passed);
}
