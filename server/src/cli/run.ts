import type { Machine } from '../files/machine.js';
import type { Prepared } from './command.js';
import { deliver } from './deliver.js';
import { findPlans } from './leftPlans.js';
import { openDisk } from './load.js';
import { type Output, TERMINAL } from './print.js';

/** Runs a command and gives its status: never 0 where modules were read that a plan has left half done. */
export async function runCall(call: Prepared, machine: Machine, output: Output = TERMINAL): Promise<number> {
  const disk = openDisk(call.places, call.readAs);
  const { said, concerned } = await findPlans(machine, disk, call);
  output.beside(said);
  const status = deliver(call, await call.run(disk, concerned), disk, machine, output);
  return concerned().length > 0 ? Math.max(status, 1) : status;
}
