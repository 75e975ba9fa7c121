import { type Phrase, phrase } from '../../base/phrase.js';
import type { Steps } from '../../base/steps.js';
import { differs } from '../../compare/compareDumps.js';
import { isForComparison } from '../../model/useHeader.js';
import { fileOfTotals, type UnconfirmedSum, unconfirmedSums } from '../confirmedSums.js';
import { moduleTitle } from '../moduleTitle.js';
import { isToCome, namelessOf } from '../record/timeline.js';
import { calledIn } from '../vehicles.js';
import type { Others } from '../verify/anotherCar.js';
import { backupSealed, broughtIn, hasOpen, isExplainedBy, sumsKnown } from './asFound.js';
import type { JobInput } from './input.js';
import { type JobDump, type Module, modulesOf, vehiclesOf, workBack, workOf } from './module.js';
import { proofOf, readBack } from './readBack.js';
import { done, type Finding, inOrder, open, STEPS, type Step, type StepId } from './step.js';
import { allRight, changeMade, fittingOf, folderOf } from './work.js';
import { cardMade, inRecord, type RecordMatter, recordOf, verified } from './writing.js';

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

/** The jobs of all vehicles at hand, and what each was computed from. */
export interface Jobs {
  readonly vehicles: readonly (VehicleJob & ComputedFrom)[];
  /** Dumps that are only there to compare with, and so are part of no job. */
  readonly compared: readonly JobDump[];
  /** Those that name no profile. */
  readonly unnamed: readonly JobDump[];
  readonly similar: readonly Similar[];
}

/** How many dumps name no profile, and may name that of a dump in work, as it explains them. */
export interface Similar {
  readonly of: JobDump;
  readonly count: number;
}

interface ComputedFrom {
  readonly dumps: readonly JobDump[];
  /** The dumps in the same folders, where they were looked at: what was read back may be one of them. */
  readonly near: readonly JobDump[] | undefined;
  /** Everything else that it depends on. */
  readonly rest: string;
}

/**
 * For each module of each vehicle its steps, what is open, and what to do next. What was computed `before` from the same
 * is taken from there. It takes a while where there are many, and pauses between vehicles.
 */
export function* jobSteps(input: JobInput, before?: Jobs): Steps<Jobs> {
  const { retrofits, cards, unread, isSaved } = input;
  const compared = input.dumps.filter(({ dump }) => isForComparison(dump));
  const ofJobs = input.dumps.filter((one) => !compared.includes(one));
  const saved = [...retrofits, ...cards].map(({ file }) => isSaved(file));
  const shared = JSON.stringify([retrofits, cards, unread, saved]);
  const vehicles: Jobs['vehicles'][number][] = [];
  for (const dumps of vehiclesOf(ofJobs)) {
    const beside = namelessBeside(dumps, ofJobs);
    const files = [...dumps, ...beside].flatMap(({ file, profileFile, loaded }) => [
      file,
      profileFile,
      loaded.backupFile,
    ]);
    const savedHere = files.map((file) => file === undefined || isSaved(file));
    const guesses = guessesOf(dumps, input);
    const toCome = [...dumps, ...beside].filter((one) => isToCome(one, input.now)).map(({ file }) => file);
    // That one is only to compare with counts for others as soon as its file says so.
    const unsaved = inFoldersOf(dumps, compared).filter(({ file }) => !isSaved(file));
    const outside = dumps.map(({ file }) => input.isOutside(file));
    const rest = JSON.stringify([savedHere, outside, guesses, toCome, unsaved.map(({ file }) => file), shared]);
    // Dumps without a profile may come to tell of sums that are only a guess.
    const unnamed = hasOpen(guesses) ? input.dumps.filter(({ loaded }) => loaded.profile.kind === 'none') : [];
    const from = [...dumps, ...beside, ...unnamed];
    const near = inFoldersOf(dumps, input.dumps);
    const known = before?.vehicles.find((one) => one.rest === rest && isFrom(one, from, near));
    if (known !== undefined) vehicles.push(known);
    else {
      let isAsked = false;
      const others = () => {
        isAsked = true;
        return near;
      };
      const job = vehicleJob(dumps, beside, unsaved, input, others);
      vehicles.push({ ...job, dumps: from, near: isAsked ? near : undefined, rest });
    }
    yield;
  }
  const similar: Similar[] = [];
  const sources = onePerProfile(vehicles, ofJobs);
  const unnamed = input.dumps.filter(({ loaded }) => loaded.profile.kind === 'none');
  const isAsBefore = before !== undefined && areSame(before.unnamed, unnamed);
  for (const of of sources) {
    let count = isAsBefore ? before.similar.find((one) => one.of === of)?.count : undefined;
    if (count === undefined) {
      count = 0;
      for (const one of unnamed) {
        if (isExplainedBy(one, of.dump.profile)) count++;
        yield;
      }
    }
    similar.push({ of, count });
  }
  return { vehicles, compared, unnamed, similar };
}

/** For each profile that can be read, a dump that is worked on and names it. */
function onePerProfile(vehicles: readonly VehicleJob[], dumps: readonly JobDump[]): readonly JobDump[] {
  const inWork = vehicles.flatMap(({ modules }) => modules.map(({ file }) => file));
  const found = new Map<string, JobDump>();
  for (const file of inWork) {
    const dump = dumps.find((one) => one.file === file);
    const { profile, profileFile } = dump?.loaded ?? {};
    if (dump !== undefined && profile?.kind === 'read' && profileFile !== undefined && !found.has(profileFile))
      found.set(profileFile, dump);
  }
  return [...found.values()];
}

/** What all dumps at hand say of the file sums that are only a guess in the profiles of a vehicle. */
function guessesOf(vehicle: readonly JobDump[], { dumps }: JobInput): readonly UnconfirmedSum[] {
  const profiles = new Set(vehicle.flatMap(({ loaded }) => fileOfTotals(loaded) ?? []));
  const all = dumps.map(({ loaded }) => loaded);
  return [...profiles].flatMap((file) => unconfirmedSums(all, file));
}

function isFrom(job: ComputedFrom, dumps: readonly JobDump[], near: readonly JobDump[]): boolean {
  return areSame(job.dumps, dumps) && (job.near === undefined || areSame(job.near, near));
}

function areSame(some: readonly JobDump[], others: readonly JobDump[]): boolean {
  return some.length === others.length && some.every((one, at) => one === others[at]);
}

/** Dumps in the folders of a vehicle that name none: they are part of the record of its folder. */
function namelessBeside(vehicle: readonly JobDump[], all: readonly JobDump[]): readonly JobDump[] {
  return inFoldersOf(vehicle, namelessOf(all));
}

/** Dumps in the folders of a vehicle and below that are not known to be of it. */
function inFoldersOf(vehicle: readonly JobDump[], all: readonly JobDump[]): readonly JobDump[] {
  const folders = vehicle.map(({ file }) => folderOf(file));
  return all.filter((one) => !vehicle.includes(one) && folders.some((folder) => one.file.startsWith(folder)));
}

function vehicleJob(
  dumps: readonly JobDump[],
  nameless: readonly JobDump[],
  unsaved: readonly JobDump[],
  input: JobInput,
  others: Others,
): VehicleJob {
  const record = recordOf([...dumps, ...nameless, ...unsaved], input, others);
  return {
    ...calledIn(dumps),
    modules: modulesOf(dumps, nameless, input.now)
      .map((module) => ({
        title: moduleTitle(module.dumps),
        file: (module.current[0] ?? module.dumps[0])?.file ?? '',
        files: module.dumps.map(({ file }) => file),
        steps: stepsOf(module, record, input, others),
      }))
      // What is read back, whatever it is called, moves no module.
      .sort((a, b) => (a.file < b.file ? -1 : 1)),
  };
}

function stepsOf(module: Module, record: readonly RecordMatter[], input: JobInput, others: Others): readonly Step[] {
  const found = findingsOf(module, record, input, others);
  return inOrder(STEPS.map((id) => ({ id, title: titleOfStep(id, module, input), ...(found[id] ?? WAITS) })));
}

/** Nothing can be told of a step before there is one dump to look at. */
const WAITS = open(phrase('Waits for the dump.'));

function findingsOf(
  module: Module,
  record: readonly RecordMatter[],
  input: JobInput,
  others: Others,
): Partial<Readonly<Record<StepId, Finding>>> {
  const first = broughtIn(module, input);
  const [own, ...more] = module.current;
  if (own === undefined || more.length > 0) return { broughtIn: first };
  const work = workOf(own);
  const proof = proofOf(own, module, input);
  const isUntouched = work !== undefined && !differs(work.comparison) && proof.back === undefined;
  const [sums, backup] = [sumsKnown(own, input), backupSealed(own, module, input, isUntouched)];
  const change = changeMade(own, work, input, proof);
  // What nobody knows to be in the module, no card takes back.
  const toWrite = proof.back === undefined || proof.written?.settledBy !== undefined ? work : workBack(own, proof.back);
  const isBack = proof.back !== undefined && proof.written?.isOpen === false;
  const checked = allRight(own, toWrite);
  // A dump in which nothing is set yet is not what is to be written.
  const right = checked.isDone && !change.isDone ? open(phrase('Waits until something is set.')) : checked;
  const isReady = [first, sums, backup, change, right].every(({ isDone }) => isDone);
  const proved = verified(own, proof, isReady, input, others);
  return {
    broughtIn: first,
    sums,
    backup,
    change,
    right,
    card: isBack ? done(phrase('Nothing is to be written any more.')) : cardMade(own, toWrite, isReady, input),
    readBack: readBack(own, module, proof),
    verified: proved,
    recorded: inRecord(own, module, record, proved.isDone, input, others),
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
      return own !== undefined && fittingOf(own, retrofits).length > 0 ? phrase('Retrofit set') : phrase('Option set');
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
