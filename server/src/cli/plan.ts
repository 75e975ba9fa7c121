import { basename, dirname, join } from 'node:path';
import { listed, type Phrase, phrase, sentences, valueIn } from '../../../shared-core/src/base/index.js';
import {
  type LeftAside,
  type NamedProfile,
  type Plan,
  type PlanRefusal,
  type PossiblePlan,
  planPage,
  planRetrofit,
  type Retrofit,
  type UndecidedDump,
  type UnnamedDump,
  type VehicleAtHand,
  type VehicleDump,
  vehicleInWords,
  vehiclesWith,
  withRefusals,
} from '../../../shared-core/src/jobs/index.js';
import { isSealed, whySetAside } from '../../../shared-core/src/model/index.js';
import { byModule, resolveUri, undecidedAmong } from '../../../shared-core/src/workspace/index.js';
import { Failure } from '../files/failure.js';
import type { Rewrite } from '../files/save.js';
import { type Call, command, type Outcome } from './command.js';
import { type Disk, loadRetrofit, pathOf, STDIN, uriOf } from './load.js';
import { DESPITE, flag, OUT, PROFILES, UNCONFIRMED } from './options.js';
import { fleetIn, planFleet } from './planFleet.js';
import { moduleToJson, rewritesOf } from './planned.js';
import { howToUse } from './readCall.js';
import { withHint } from './repair.js';
import { say } from './say.js';

const OPTIONS = {
  write: flag(phrase('write the dumps, all or none')),
  ...OUT,
  ...UNCONFIRMED,
  ...DESPITE,
  ...PROFILES,
};

/** What a retrofit changes in the modules of a vehicle; with `--write` it is done, in all of them or in none. */
export const plan = command({
  name: 'plan',
  arguments: 'RETROFIT [FILE…]',
  does: phrase('what a retrofit changes in all modules of a vehicle, or of each in some folders; --write does it'),
  options: OPTIONS,
  places: ([retrofit = '', ...places]) => (places.length === 0 ? [dirname(retrofit)] : places),
  run: planFor,
});

async function planFor(call: Call<typeof OPTIONS>): Promise<Outcome> {
  const { files, write, unconfirmed, despite, disk } = call;
  const [retrofitFile = '', ...places] = files;
  if (retrofitFile === STDIN) throw new Failure(howToUse(plan));
  const retrofit = await loadRetrofit(disk, retrofitFile);
  const base = uriOf(retrofitFile);
  const wanted = retrofit.changes.map(({ profile }) => resolveUri(base, profile));
  const fleet = await fleetIn(disk, places, wanted);
  const profiles = new Map<string, NamedProfile>();
  for (const { profile: path } of retrofit.changes) {
    const file = resolveUri(base, path);
    profiles.set(path, { file, profile: valueIn(await disk.workspace.readProfile(file))?.profile });
  }
  const profileAt = (path: string) => profiles.get(path) ?? { file: path, profile: undefined };
  if (fleet !== undefined) return planFleet(fleet, retrofit, profileAt, call);
  const { vehicle, unused, undecided } = await onlyVehicle(disk, retrofit, base, places);
  const made = planRetrofit(retrofit, profileAt, vehicle.dumps, { unconfirmed, despite, isTyped: true }, undecided);
  const planned: Plan = { ...made, aside: [...made.aside, ...unused] };
  const cautions = planned.kind === 'planned' ? planned.modules.flatMap(({ change }) => change.cautions) : [];
  const told = (plan: Plan): Outcome => ({
    status: plan.kind === 'planned' ? 0 : 1,
    document: { content: say(planPage(retrofit, vehicle, plan)) },
    cautions,
    json: { vehicle: vehicle.id, ...toJson(plan) },
  });
  if (!write) return { ...told(planned), ...(planned.kind === 'planned' && tried(disk, planned, told)) };
  // The page says it too, and is not shown where files are written.
  const notes = planned.aside.map(({ name, why }) => phrase('{0} was left aside. {1}', name, why));
  return { ...told(planned), notes, ...carriedOut(disk, planned) };
}

/** A plan whose files are not written now: where they could not be, that is in its way. */
function tried(disk: Disk, planned: Plan & PossiblePlan, told: (plan: Plan) => Outcome): Pick<Outcome, 'sets'> {
  const each = planned.modules.map((module) => ({ names: module.name, rewrites: rewritesOf(disk, [module]) }));
  const all = {
    names: planned.modules.map(({ name }) => name).join(', '),
    rewrites: each.flatMap(({ rewrites }) => rewrites),
  };
  // Each by itself tells which module is in the way; what all of them need together is told where none is.
  const tries = [...each, all];
  const of = new Map(tries.map(({ rewrites }, at) => [at, rewrites] as const));
  const whyNot = (refused: ReadonlyMap<number, Phrase>): readonly PlanRefusal[] =>
    tries.flatMap(({ names: module }, at) => {
      const why = refused.get(at);
      return why === undefined || (at === each.length && refused.size > 1) ? [] : { module, why };
    });
  return { sets: { isWritten: false, of, told: (refused) => told(withRefusals(planned, whyNot(refused))) } };
}

interface OnlyVehicle {
  readonly vehicle: VehicleAtHand<VehicleDump>;
  readonly unused: readonly LeftAside[];
  /** Those of which nobody can tell which of its modules they are. */
  readonly undecided: readonly UndecidedDump[];
}

/** The vehicle of the dumps that are named, or that are beside the retrofit. */
async function onlyVehicle(
  disk: Disk,
  { changes }: Retrofit,
  base: string,
  places: readonly string[],
): Promise<OnlyVehicle> {
  const beside = dirname(pathOf(base));
  const files =
    places.length === 0
      ? (await disk.within(beside, 'dumps')).map((path) => join(beside, path))
      : await disk.expand(places);
  const read: VehicleDump[] = [];
  const unnamed: UnnamedDump[] = [];
  const unused: LeftAside[] = [];
  // Of a folder, what is no dump in work need not be told; what a person names is never passed over in silence.
  const named = new Set(places.map(uriOf));
  const leave = (file: string, why: Phrase) => {
    if (named.has(file)) unused.push({ name: basename(pathOf(file)), why });
  };
  for (const file of files) {
    const loaded = await disk.load(file);
    const { profileFile, dump } = loaded;
    const aside = whySetAside(basename(file), dump);
    if (isSealed(dump)) leave(loaded.file, phrase('It is sealed, so nothing is planned in it.'));
    else if (aside !== undefined) leave(loaded.file, aside);
    else if (profileFile === undefined) unnamed.push({ file: loaded.file, name: basename(file), dump });
    else read.push({ ...loaded, name: basename(file), profileFile });
  }
  const wanted = changes.map(({ profile }) => resolveUri(base, profile));
  const dumps = await byModule(disk.workspace, read, wanted);
  const vehicles = vehiclesWith(dumps, wanted);
  const [only, ...others] = vehicles;
  // With no dump at all, the plan says for each module what to do.
  const vehicle = only ?? { id: '–', title: '–', dumps: [] };
  if (others.length === 0) {
    const undecided = (await undecidedAmong(disk.workspace, [...read, ...unnamed]))(vehicle);
    const ofIt = new Set([...vehicle.dumps, ...undecided].map(({ file }) => file));
    for (const { file } of unnamed) if (!ofIt.has(file)) leave(file, phrase('It names no profile.'));
    for (const { file, profileFile } of dumps) {
      if (!ofIt.has(file)) leave(file, phrase('It is of another vehicle.'));
      else if (!wanted.includes(profileFile) && !undecided.some((one) => one.file === file))
        leave(file, phrase('The retrofit changes nothing in it.'));
    }
    return { vehicle, unused, undecided };
  }
  throw new Failure(
    phrase(
      'The dumps are of several vehicles: {0}. Name the files or the folder of the one that is meant.',
      listed(vehicles.map(vehicleInWords)),
    ),
  );
}

/** The new texts of all modules, and what is done in each. */
function carriedOut(
  disk: Disk,
  planned: Plan,
): { readonly rewrites: readonly Rewrite[]; readonly says: readonly Phrase[] } {
  if (planned.kind === 'refused') {
    const reasons = planned.refusals.map(({ module, why, asks }) => phrase('{0}: {1}', module, withHint(why, asks)));
    throw new Failure(phrase('{0} Nothing was changed in any module.', sentences(reasons)));
  }
  return {
    rewrites: rewritesOf(disk, planned.modules),
    says: planned.modules.map(({ name, change: { writes } }) =>
      writes.length === 0
        ? phrase('{0}: all is as planned already', name)
        : phrase('{0}: set as planned (bytes changed: {1})', name, writes.length),
    ),
  };
}

function toJson(planned: Plan): object {
  const aside = planned.aside.map(({ name, why }) => ({ file: name, why: say(why) }));
  if (planned.kind === 'refused')
    return { possible: false, aside, refusals: planned.refusals.map(({ module, why }) => ({ module, why: say(why) })) };
  return {
    possible: true,
    aside,
    modules: planned.modules.map(moduleToJson),
  };
}
