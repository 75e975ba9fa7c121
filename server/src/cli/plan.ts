import { basename, dirname } from 'node:path';
import {
  editsOf,
  headerValue,
  type LoadedDump,
  listed,
  type NamedProfile,
  type Plan,
  phrase,
  planPage,
  planRetrofit,
  type Retrofit,
  resolveUri,
  textAfter,
  textOfRows,
  type VehicleAtHand,
  type VehicleDump,
  valueIn,
  vehiclesWith,
} from '../../../shared-core/src/index.js';
import type { Call, Outcome } from './command.js';
import { Failure } from './failure.js';
import { STDIN, writeAllWhole, writeWhole } from './files.js';
import { type Files, loadRetrofit, openFiles, pathOf, uriOf } from './load.js';
import { writeToJson } from './repair.js';
import { say } from './say.js';

/** What a retrofit changes in the modules of a vehicle; with `--write` it is done, in all of them or in none. */
export async function plan({ files: given, write, out }: Call): Promise<Outcome> {
  const [retrofitFile, ...places] = given;
  if (retrofitFile === undefined || retrofitFile === STDIN)
    throw new Failure(phrase('Use: countersum plan RETROFIT [FILE or FOLDER …]'));
  const files = openFiles(places.length === 0 ? [dirname(retrofitFile)] : places);
  const retrofit = await loadRetrofit(files, retrofitFile);
  const folder = dirname(retrofitFile);
  const vehicle = await onlyVehicle(files, retrofit, uriOf(retrofitFile), places.length === 0 ? [folder] : places);
  const profiles = new Map<string, NamedProfile>();
  for (const { profile: path } of retrofit.changes) {
    const file = resolveUri(uriOf(retrofitFile), path);
    profiles.set(path, { file, profile: valueIn(await files.workspace.readProfile(file))?.profile });
  }
  const planned = planRetrofit(
    retrofit,
    (path) => profiles.get(path) ?? { file: path, profile: undefined },
    vehicle.dumps,
  );
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
async function onlyVehicle(
  files: Files,
  { changes }: Retrofit,
  retrofitUri: string,
  places: readonly string[],
): Promise<VehicleAtHand<VehicleDump>> {
  const dumps: VehicleDump[] = [];
  for (const name of await files.expand(places)) dumps.push(...dumpIn(await files.load(name)));
  const vehicles = vehiclesWith(
    dumps,
    changes.map(({ profile }) => resolveUri(retrofitUri, profile)),
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
function dumpIn({ profileFile, ...loaded }: LoadedDump): readonly VehicleDump[] {
  if (profileFile === undefined || headerValue(loaded.dump, 'seal') !== undefined) return [];
  return [{ ...loaded, name: basename(loaded.name), profileFile }];
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
      file: pathOf(file),
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
