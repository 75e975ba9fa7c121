import { basename, dirname, join } from 'node:path';
import {
  isSealed,
  listed,
  type NamedProfile,
  type Phrase,
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
import { Failure } from '../files/failure.js';
import type { Rewrite } from '../files/save.js';
import { type Call, command, type Outcome } from './command.js';
import { type Disk, loadRetrofit, pathOf, STDIN, uriOf } from './load.js';
import { DESPITE, flag, OUT, UNCONFIRMED } from './options.js';
import { howToUse } from './readCall.js';
import { withHint, writeToJson } from './repair.js';
import { say } from './say.js';

const OPTIONS = { write: flag(phrase('write the dumps, all or none')), ...OUT, ...UNCONFIRMED, ...DESPITE };

/** What a retrofit changes in the modules of a vehicle; with `--write` it is done, in all of them or in none. */
export const plan = command({
  name: 'plan',
  arguments: 'RETROFIT [FILE…]',
  does: phrase('what a retrofit changes in all modules of a vehicle; --write does it'),
  options: OPTIONS,
  places: ([retrofit = '', ...places]) => (places.length === 0 ? [dirname(retrofit)] : places),
  run: planFor,
});

async function planFor({ files, write, unconfirmed, despite, disk }: Call<typeof OPTIONS>): Promise<Outcome> {
  const [retrofitFile = '', ...places] = files;
  if (retrofitFile === STDIN) throw new Failure(howToUse(plan));
  const retrofit = await loadRetrofit(disk, retrofitFile);
  const base = uriOf(retrofitFile);
  const vehicle = await onlyVehicle(disk, retrofit, base, places);
  const profiles = new Map<string, NamedProfile>();
  for (const { profile: path } of retrofit.changes) {
    const file = resolveUri(base, path);
    profiles.set(path, { file, profile: valueIn(await disk.workspace.readProfile(file))?.profile });
  }
  const profileAt = (path: string) => profiles.get(path) ?? { file: path, profile: undefined };
  const planned = planRetrofit(retrofit, profileAt, vehicle.dumps, { unconfirmed, despite });
  const cautions = planned.kind === 'planned' ? planned.modules.flatMap(({ change }) => change.cautions) : [];
  return {
    status: planned.kind === 'planned' ? 0 : 1,
    document: { content: say(planPage(retrofit, vehicle, planned)) },
    cautions,
    ...(write && carriedOut(planned)),
    json: { vehicle: vehicle.id, ...toJson(planned) },
  };
}

/** The vehicle of the dumps that are named, or that are beside the retrofit. */
async function onlyVehicle(
  disk: Disk,
  { changes }: Retrofit,
  base: string,
  places: readonly string[],
): Promise<VehicleAtHand<VehicleDump>> {
  const beside = dirname(pathOf(base));
  const files =
    places.length === 0
      ? (await disk.within(beside, 'dumps')).map((path) => join(beside, path))
      : await disk.expand(places);
  const dumps: VehicleDump[] = [];
  for (const file of files) dumps.push(...(await dumpAt(disk, file)));
  const vehicles = vehiclesWith(
    dumps,
    changes.map(({ profile }) => resolveUri(base, profile)),
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
async function dumpAt(disk: Disk, file: string): Promise<readonly VehicleDump[]> {
  const loaded = await disk.load(file);
  const { profileFile, dump } = loaded;
  if (profileFile === undefined || isSealed(dump)) return [];
  return [{ ...loaded, name: basename(file), profileFile }];
}

/** The new texts of all modules, and what is done in each. */
function carriedOut(planned: Plan): { readonly rewrites: readonly Rewrite[]; readonly says: readonly Phrase[] } {
  if (planned.kind === 'refused') {
    const reasons = planned.refusals.map(({ module, why, asks }) => phrase('{0}: {1}', module, withHint(why, asks)));
    throw new Failure(phrase('{0} Nothing was changed in any module.', listed(reasons, ' ')));
  }
  const changed = planned.modules.filter(({ change }) => change.edits.length > 0);
  return {
    rewrites: changed.map(({ file, before, change }) => ({
      file: pathOf(file),
      before: textOfRows(before.rows),
      text: textAfter(before.rows, change.edits),
    })),
    says: planned.modules.map(({ name, change: { writes } }) =>
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
    modules: planned.modules.map(({ name, before, change: { writes }, options }) => ({
      file: name,
      options: options.map(({ option: { id, title }, before: was, after }) => ({ id, title, before: was, after })),
      edits: writes.map((write) => writeToJson(before, write)),
    })),
  };
}
