import type { LoadedDump } from '../../shared-core/src/checks/index.js';
import type { CutShort } from './plansOnDisk.js';
import type { Session } from './session.js';

/** What is to be said of each of some dumps because a plan over them, or over what was read with them, was cut short. */
export function cutShortFor({ plans }: Session, dumps: readonly LoadedDump[]): Promise<CutShort> {
  return plans.cutShort(
    dumps.map(({ file }) => file),
    dumps.flatMap(readBeside),
  );
}

/** The files beside a dump that its checks rest on: its backup, and the modules that its conditions look at. */
function readBeside({ backupFile, dump, modules }: LoadedDump): readonly string[] {
  const conditions = dump.profile.options.flatMap(({ needs, excludes }) => [...needs, ...excludes]);
  const looked = new Set(conditions.flatMap(({ profile }) => profile ?? []));
  const others = [...looked].flatMap((profile) => modules(profile));
  return [
    ...(backupFile === undefined ? [] : [backupFile]),
    ...others.flatMap((other) => (other.dump === undefined ? [] : other.file)),
  ];
}
