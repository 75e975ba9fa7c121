import { basename, dirname, resolve } from 'node:path';
import {
  editsOf,
  headerValue,
  listed,
  type Phrase,
  type Plan,
  phrase,
  planPage,
  planRetrofit,
  type Retrofit,
  readProfile,
  textAfter,
  textOfRows,
  type VehicleAtHand,
  type VehicleDump,
  vehiclesWith,
} from '../../../shared-core/src/index.js';
import { type Call, command, type Outcome, type Rewrite } from './command.js';
import { type Disk, expandFolders, filesBelow, STDIN } from './disk.js';
import { Failure } from './failure.js';
import { load, loadRetrofit } from './load.js';
import { DESPITE, flag, OUT, UNCONFIRMED } from './options.js';
import { type FindModules, otherModulesAmong } from './otherModules.js';
import { howToUse } from './readCall.js';
import { writeToJson } from './repair.js';
import { say } from './say.js';

const OPTIONS = { write: flag(phrase('write the dumps, all or none')), ...OUT, ...UNCONFIRMED, ...DESPITE };

/** What a retrofit changes in the modules of a vehicle; with `--write` it is done, in all of them or in none. */
export const plan = command({
  name: 'plan',
  arguments: 'RETROFIT [FILE…]',
  does: phrase('what a retrofit changes in all modules of a vehicle; --write does it'),
  options: OPTIONS,
  run: planFor,
});

function planFor({ files, write, disk }: Call<typeof OPTIONS>): Outcome {
  const [retrofitFile = '', ...places] = files;
  if (retrofitFile === STDIN) throw new Failure(howToUse(plan));
  const retrofit = loadRetrofit(disk, retrofitFile);
  const folder = dirname(resolve(retrofitFile));
  const vehicle = onlyVehicle(disk, retrofit, folder, places);
  const planned = planRetrofit(retrofit, (path) => profileAt(disk, resolve(folder, path)), vehicle.dumps);
  return {
    status: planned.kind === 'planned' ? 0 : 1,
    document: { content: say(planPage(retrofit, vehicle, planned)) },
    ...(write && carriedOut(planned)),
    json: { vehicle: vehicle.id, ...toJson(planned) },
  };
}

/** The vehicle of the dumps that are named, or that lie beside the retrofit. */
function onlyVehicle(
  disk: Disk,
  { changes }: Retrofit,
  folder: string,
  places: readonly string[],
): VehicleAtHand<VehicleDump> {
  const files = places.length === 0 ? filesBelow(folder, ['dumps']) : expandFolders(places);
  const modulesOf = otherModulesAmong(disk, files);
  const dumps = files.flatMap((file) => dumpAt(disk, file, modulesOf));
  const vehicles = vehiclesWith(
    dumps,
    changes.map(({ profile }) => resolve(folder, profile)),
  );
  const [only, ...others] = vehicles;
  // With no dump at all, the plan says for each module what to do.
  if (only === undefined) return { id: '–', title: '–', dumps: [] };
  if (others.length === 0) return only;
  throw new Failure(
    phrase(
      'The dumps are of several vehicles: {0}. Name the files or the folder of the one that is meant.',
      listed(vehicles.map(({ id }) => id)),
    ),
  );
}

/** A dump that names a profile and is no sealed backup. */
function dumpAt(disk: Disk, file: string, modulesOf: FindModules): readonly VehicleDump[] {
  const { dump, profile, profilePath, backup } = load(disk, file, undefined);
  if (profilePath === undefined || headerValue(dump, 'seal') !== undefined) return [];
  const modules = modulesOf(file, dump, profilePath);
  return [{ file: resolve(file), name: basename(file), dump, profileFile: profilePath, profile, backup, modules }];
}

function profileAt(disk: Disk, file: string) {
  const text = disk.readTextIfThere(file);
  return { file, profile: text === undefined ? undefined : readProfile(text).profile };
}

/** The new texts of all modules, and what is done in each. */
function carriedOut(planned: Plan): { readonly rewrites: readonly Rewrite[]; readonly says: readonly Phrase[] } {
  if (planned.kind === 'refused') {
    const reasons = planned.refusals.map(({ module, why }) => phrase('{0}: {1}', module, why));
    throw new Failure(phrase('{0} Nothing was changed in any module.', listed(reasons, ' ')));
  }
  const changed = planned.modules.filter(({ writes }) => writes.length > 0);
  return {
    rewrites: changed.map(({ file, before, writes }) => ({
      file,
      before: textOfRows(before.rows),
      text: textAfter(before.rows, editsOf(before, writes)),
    })),
    says: planned.modules.map(({ name, writes }) =>
      writes.length === 0
        ? phrase('{0}: all is as planned already', name)
        : phrase('{0}: set as planned (bytes changed: {1})', name, writes.length),
    ),
  };
}

function toJson(planned: Plan): object {
  if (planned.kind === 'refused')
    return { possible: false, refusals: planned.refusals.map(({ module, why }) => ({ module, why: say(why) })) };
  return {
    possible: true,
    modules: planned.modules.map(({ name, before, writes, options }) => ({
      file: name,
      options: options.map(({ option: { id, title }, before: was, after }) => ({ id, title, before: was, after })),
      edits: writes.map((write) => writeToJson(before, write)),
    })),
  };
}
