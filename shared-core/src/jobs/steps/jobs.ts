import { type Phrase, phrase } from '../../base/phrase.js';
import { titleOf } from '../record/timeline.js';
import { calledIn } from '../vehicles.js';
import { backupSealed, broughtIn, sumsKnown } from './asFound.js';
import type { JobInput } from './input.js';
import { type JobDump, jobDump, type Module, modulesOf, vehiclesOf, workOf } from './module.js';
import { type Finding, inOrder, open, STEPS, type Step, type StepId } from './step.js';
import { allRight, changeMade, fittingOf } from './work.js';
import { cardMade, inRecord, proofOf, readBack, verified } from './writing.js';

/** The job of a vehicle, computed from what lies in the folder and from nothing else. */
export interface VehicleJob {
  readonly id: string;
  readonly title: string;
  readonly modules: readonly ModuleJob[];
}

export interface ModuleJob {
  readonly title: string;
  /** The dump that the job is about, or one of them where nobody can tell which. */
  readonly file: string;
  /** All dumps of the module. */
  readonly files: readonly string[];
  readonly steps: readonly Step[];
}

/** The jobs of all vehicles at hand: for each module its steps, what is open, and what to do next. */
export function jobsOf(input: JobInput): readonly VehicleJob[] {
  return vehiclesOf(input.dumps.map(jobDump)).map((ofVehicle) => ({
    id: calledIn(ofVehicle).id,
    title: vehicleName(ofVehicle),
    modules: modulesOf(ofVehicle).map((module) => ({
      title: titleOf(module.dumps),
      file: (module.current[0] ?? module.dumps[0])?.file ?? '',
      files: module.dumps.map(({ file }) => file),
      steps: stepsOf(module, input),
    })),
  }));
}

/** What people call a vehicle; one that no dump names goes by the name of a file. */
function vehicleName(dumps: readonly JobDump[]): string {
  const { id, title } = calledIn(dumps);
  return dumps.find(({ file }) => file === id && file === title)?.name ?? title;
}

function stepsOf(module: Module, input: JobInput): readonly Step[] {
  const found = findingsOf(module, input);
  return inOrder(STEPS.map((id) => ({ id, title: titleOfStep(id, module, input), ...(found[id] ?? WAITS) })));
}

/** Nothing can be told of a step before there is one dump to look at. */
const WAITS = open(phrase('Waits for the dump.'));

function findingsOf(module: Module, input: JobInput): Partial<Readonly<Record<StepId, Finding>>> {
  const first = broughtIn(module, input);
  const [own, ...more] = module.current;
  if (own === undefined || more.length > 0) return { broughtIn: first };
  const work = workOf(own);
  const [sums, backup] = [sumsKnown(own, input), backupSealed(own)];
  const change = changeMade(own, work, input);
  const right = allRight(own, work, input);
  const isReady = [first, sums, backup, change, right].every(({ isDone }) => isDone);
  const proof = proofOf(own, module);
  const proved = verified(own, proof, isReady, input);
  return {
    broughtIn: first,
    sums,
    backup,
    change,
    right,
    card: cardMade(own, work, isReady, input),
    readBack: readBack(own, module, proof, input),
    verified: proved,
    recorded: inRecord(own, module, proved.isDone, input),
  };
}

function titleOfStep(id: StepId, { current: [own] }: Module, { retrofits }: JobInput): Phrase {
  switch (id) {
    case 'broughtIn':
      return phrase('Dump brought in');
    case 'sums':
      return phrase('Sums understood');
    case 'backup':
      return phrase('Backup sealed');
    case 'change':
      return own !== undefined && fittingOf(own, retrofits).length > 0
        ? phrase('Set as the retrofit plans')
        : phrase('Option set');
    case 'right':
      return phrase('Everything right');
    case 'card':
      return phrase('Job card made');
    case 'readBack':
      return phrase('Read back');
    case 'verified':
      return phrase('Read-back verified');
    case 'recorded':
      return phrase('Recorded');
  }
}
