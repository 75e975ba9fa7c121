import { dirname } from 'node:path';
import { fileURLToPath } from 'node:url';
import { listFiles } from '../../shared-core/src/workspace/index.js';
import { createDiskHost } from './diskHost.js';
import { cutShortAmong, halfDone, type LeftPlan, leftPlans } from './files/journals.js';
import { type Machine, thisMachine } from './files/machine.js';
import type { PlansOnDisk } from './plansOnDisk.js';

/** The plans that runs of the command line were cut short in. A run that is under way is not waited for: a server never stands still for another. */
export function plansOnDisk(): PlansOnDisk {
  const machine = thisMachine({ wait: () => {} });
  return {
    within: async (folders) => {
      const onDisk = folders.filter(isOnDisk);
      const { dumps } = await listFiles(createDiskHost(), onDisk);
      return plansIn(machine, [
        ...onDisk.map((uri) => fileURLToPath(uri)),
        ...dumps.map((uri) => dirname(fileURLToPath(uri))),
      ]);
    },
    cutShort: async (dumps, beside = []) => {
      const placeOf = (uri: string) => (isOnDisk(uri) ? realPath(machine, fileURLToPath(uri)) : undefined);
      const paths = dumps.flatMap((uri) => placeOf(uri) ?? []);
      const read = new Set([...paths, ...beside.flatMap((uri) => placeOf(uri) ?? [])]);
      const plans = await plansIn(
        machine,
        [...read].map((path) => dirname(path)),
      );
      const said = cutShortAmong(
        halfDone(plans, (path) => read.has(path)),
        paths,
      );
      return (uri) => said(placeOf(uri) ?? '');
    },
  };
}

function isOnDisk(uri: string): boolean {
  return uri.startsWith('file:');
}

function realPath({ fs }: Machine, path: string): string {
  try {
    return fs.realpathSync(path);
  } catch {
    return path;
  }
}

function plansIn(machine: Machine, folders: readonly string[]): Promise<readonly LeftPlan[]> {
  const real = [...new Set(folders)].filter((path) =>
    machine.fs.statSync(path, { throwIfNoEntry: false })?.isDirectory(),
  );
  return leftPlans(machine, [...new Set(real.map(machine.fs.realpathSync))]);
}
