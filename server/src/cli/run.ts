import { type Phrase, phrase } from '../../../shared-core/src/base/index.js';
import type { Machine } from '../files/machine.js';
import type { Prepared } from './command.js';
import { deliver } from './deliver.js';
import { findPlans } from './leftPlans.js';
import { type Disk, openDisk } from './load.js';
import { type Output, TERMINAL } from './print.js';

/** Runs a command and gives its status: never 0 where modules were read that a plan has left half done. */
export async function runCall(call: Prepared, machine: Machine, output: Output = TERMINAL): Promise<number> {
  const disk = openDisk(call.places, call.readAs);
  await disk.haveLibraries();
  const { said, concerned } = await findPlans(machine, disk, call);
  output.beside(said);
  const outcome = await call
    .run(disk, concerned)
    .finally(() => output.beside([...disk.chosen(), ...leftOutInWords(disk)]));
  const status = deliver(call, outcome, disk, machine, output);
  return concerned().length > 0 ? Math.max(status, 1) : status;
}

function leftOutInWords(disk: Disk): readonly Phrase[] {
  const { ignored, links } = disk.leftOut();
  return [
    ...(ignored === 0
      ? []
      : [phrase('Files that version control ignores were left out: {0}. Name them to have them read.', ignored)]),
    ...(links === 0
      ? []
      : [phrase('Links in folders were left out: {0}. Name what they lead to, to have it read.', links)]),
  ];
}
