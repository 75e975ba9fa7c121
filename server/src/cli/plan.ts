import { basename, dirname, resolve } from 'node:path';
import {
  editsOf,
  headerValue,
  listed,
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
import type { Call, Outcome } from './command.js';
import { Failure } from './failure.js';
import { expandFolders, readTextIfThere, STDIN, writeAllWhole, writeWhole } from './files.js';
import { load, loadRetrofit } from './load.js';
import { type FindModules, otherModulesAmong } from './otherModules.js';
import { writeToJson } from './repair.js';
import { say } from './say.js';

/** What a retrofit changes in the modules of a vehicle; with `--write` it is done, in all of them or in none. */
export function plan({ files, write, out }: Call): Outcome {
  const [retrofitFile, ...places] = files;
  if (retrofitFile === undefined || retrofitFile === STDIN)
    throw new Failure(phrase('Use: countersum plan RETROFIT [FILE or FOLDER …]'));
  const retrofit = loadRetrofit(retrofitFile);
  const folder = dirname(resolve(retrofitFile));
  const vehicle = onlyVehicle(retrofit, folder, places);
  const planned = planRetrofit(retrofit, (path) => profileAt(resolve(folder, path)), vehicle.dumps);
  const page = say(planPage(retrofit, vehicle, planned));
  const done = write ? carryOut(planned) : undefined;
  if (out !== undefined) writeWhole(out, page);
  return {
    status: planned.kind === 'planned' ? 0 : 1,
    text: done ?? (out === undefined ? page : ''),
    json: { vehicle: vehicle.id, ...toJson(planned) },
  };
}

/** The vehicle of the dumps that are named, or that lie beside the retrofit. */
function onlyVehicle({ changes }: Retrofit, folder: string, places: readonly string[]): VehicleAtHand<VehicleDump> {
  const files = expandFolders(places.length === 0 ? [folder] : places);
  const modulesOf = otherModulesAmong(files);
  const dumps = files.flatMap((file) => dumpAt(file, modulesOf));
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
function dumpAt(file: string, modulesOf: FindModules): readonly VehicleDump[] {
  const { dump, profile, profilePath, backup } = load(file, undefined);
  if (profilePath === undefined || headerValue(dump, 'seal') !== undefined) return [];
  const modules = modulesOf(file, dump, profilePath);
  return [{ file: resolve(file), name: basename(file), dump, profileFile: profilePath, profile, backup, modules }];
}

function profileAt(file: string) {
  const text = readTextIfThere(file);
  return { file, profile: text === undefined ? undefined : readProfile(text).profile };
}

/** Sets all modules, and says what was done in each. */
function carryOut(planned: Plan): string {
  if (planned.kind === 'refused') {
    const reasons = planned.refusals.map(({ module, why }) => phrase('{0}: {1}', module, why));
    throw new Failure(phrase('{0} Nothing was changed in any module.', listed(reasons, ' ')));
  }
  const changed = planned.modules.filter(({ writes }) => writes.length > 0);
  writeAllWhole(
    changed.map(({ file, before, writes }) => ({
      file,
      before: textOfRows(before.rows),
      text: textAfter(before.rows, editsOf(before, writes)),
    })),
  );
  return planned.modules
    .map(({ name, writes }) =>
      say(
        writes.length === 0
          ? phrase('{0}: all is as planned already', name)
          : phrase('{0}: set as planned (bytes changed: {1})', name, writes.length),
      ),
    )
    .join('\n');
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
