import { basename, dirname, join, relative, resolve, sep } from 'node:path';
import { done, type Phrase, phrase } from '../../../shared-core/src/base/index.js';
import {
  asWritten,
  countsInWords,
  type FleetRow,
  fleetPage,
  fleetRow,
  type HeadedDump,
  type NamedProfile,
  planRetrofit,
  type Retrofit,
  reasonsOf,
  rowWithoutPlan,
  type UndecidedDump,
  type VehicleAtHand,
  type VehicleDump,
  vehicleInWords,
  vehiclesOf,
} from '../../../shared-core/src/jobs/index.js';
import { namesVehicle, withRecords } from '../../../shared-core/src/model/index.js';
import { byModule, undecidedAmong } from '../../../shared-core/src/workspace/index.js';
import { Failure } from '../files/failure.js';
import type { LeftPlan } from '../files/journals.js';
import type { Rewrite } from '../files/save.js';
import type { Call, Outcome } from './command.js';
import { type Disk, type FolderLook, pathOf, STDIN, uriOf, whyNoDump } from './load.js';
import { moduleToJson, rewritesOf } from './planned.js';
import { showProgress } from './progress.js';
import { say } from './say.js';

/** The cars in some folders, and what in them may be of a car and cannot be read. */
export interface Fleet {
  readonly cars: readonly Car[];
  /** Folders in which no car was found, and why. */
  readonly without: readonly Pick<FleetRow, 'title' | 'state' | 'why'>[];
}

interface Car {
  readonly vehicle: VehicleAtHand<HeadedDump>;
  readonly title: string;
  /** Files in its folder that cannot be read: each may be a module of the car. */
  readonly unread: readonly Phrase[];
  /** Dumps of which nobody can tell which of its modules they are. */
  readonly undecided: readonly UndecidedDump[];
}

/** The cars of the places that were named, their dumps by the profiles of the retrofit; undefined where these are the dumps of one vehicle, or no folders. */
export async function fleetIn(
  disk: Disk,
  places: readonly string[],
  profiles: readonly string[],
): Promise<Fleet | undefined> {
  const folders = await foldersAmong(disk, places);
  if (folders.length === 0) return undefined;
  const without: Fleet['without'][number][] = [];
  const found: string[] = [];
  const looks: FolderLook[] = [];
  for (const place of places) {
    try {
      const look = folders.includes(resolve(place)) ? await disk.lookInto(place) : undefined;
      if (look !== undefined) looks.push(look);
      found.push(...(look?.dumps ?? (await disk.expand([place]))));
    } catch (error) {
      if (!(error instanceof Failure) || places.length === 1) throw error;
      without.push({ title: place, state: 'unread', why: [error.said] });
    }
  }
  const files = await disk.expand(found);
  const { dumps: headed, unnamed, unread } = await disk.workspace.unsealedAmong(files.map(uriOf));
  const dumps = await byModule(disk.workspace, headed, profiles);
  const vehicles = vehiclesOf(dumps);
  const unitOf = (file: string) => vehicleFolder(folders, pathOf(file));
  const unitsOfCars = new Set(dumps.map(({ file }) => unitOf(file)));
  const unreadIn = new Map<string, Phrase[]>();
  const leave = (unit: string, why: Phrase) => unreadIn.set(unit, [...(unreadIn.get(unit) ?? []), why]);
  for (const { file, why } of unread) leave(unitOf(file), why);
  for (const { file, name } of unnamed) {
    const explained = await disk.workspace.explain(file, { name, rows: 'needed' });
    const read = explained.ok ? withRecords(name, done(explained.value.dump)) : explained;
    if (!read.ok) leave(unitOf(file), read.why);
  }
  for (const { folder, why } of looks.flatMap((look) => look.unlisted))
    leave(vehicleFolder(folders, join(folder, basename(folder))), why);
  const units = new Set([...files.map((file) => unitOf(uriOf(file))), ...unreadIn.keys()]);
  for (const unit of units) if (!unitsOfCars.has(unit)) without.push(rowOfFolder(unit, unreadIn.get(unit) ?? []));
  for (const folder of new Set(looks.flatMap((look) => look.empty)))
    if (!folders.includes(folder)) without.push(rowOfFolder(folder, [whyNoDump(basename(folder))]));
  const wanted = vehicles.filter((one) => one.dumps.some(({ profileFile }) => profiles.includes(profileFile)));
  const own = new Set(wanted.flatMap((one) => one.dumps.map(({ file }) => unitOf(file))));
  // What lies beside the dumps of one car, or below, may be of that car, and the folder of one car alone may be its own.
  const isOfOne = folders.some((folder) => own.has(folder) || unreadIn.has(folder));
  const isParent = !isOfOne && (vehicles.length > 1 || unreadIn.size === 0);
  const areLeft =
    without.some(({ state }) => state === 'unread') || [...unreadIn.keys()].some((unit) => !own.has(unit));
  const hasOthers = places.length === 1 ? isParent && areLeft : vehicles.length > 1 || without.length > 0;
  if (wanted.length <= 1 && !hasOthers) return undefined;
  if (folders.length < places.length)
    throw new Failure(phrase('Name the folders of vehicles, or the files of one vehicle, not both.'));
  const undecidedOf = await undecidedAmong(disk.workspace, [...headed, ...unnamed]);
  const cars = vehicles.map((vehicle): Car => {
    const units = new Set(vehicle.dumps.map(({ file }) => unitOf(file)));
    const unread = [...units].flatMap((unit) => unreadIn.get(unit) ?? []);
    return { vehicle, title: titleOf(vehicle, folders), unread, undecided: undecidedOf(vehicle) };
  });
  return { cars, without };
}

/** What a retrofit changes in many cars; with `write` it is done, in each car in all modules or in none. */
export async function planFleet(
  { cars, without }: Fleet,
  retrofit: Retrofit,
  profileAt: (path: string) => NamedProfile,
  { write, unconfirmed, despite, disk, halfPlans }: FleetCall,
): Promise<Outcome> {
  const sets = new Map<number, readonly Rewrite[]>();
  const cautions = new Map<string, Phrase>();
  const rows: FleetRow[] = [];
  for (const [at, car] of cars.entries()) {
    showProgress(at, cars.length);
    const { row, rewrites } = await rowOf(car);
    for (const { plan } of row.modules)
      for (const said of plan?.change.cautions ?? []) cautions.set(JSON.stringify(said), said);
    if (rewrites.length > 0) sets.set(at, rewrites);
    rows.push(row);
  }
  showProgress(cars.length, cars.length);
  for (const { title, state, why } of without)
    rows.push(rowWithoutPlan(retrofit, { title, id: undefined }, state === 'unread' ? 'unread' : 'in-the-way', why));
  const told = (refused: ReadonlyMap<number, Phrase>): Outcome => {
    const now = rows.map((row, at) => {
      const why = refused.get(at);
      if (why !== undefined) return rowWithoutPlan(retrofit, row, 'in-the-way', [why]);
      return write && sets.has(at) ? asWritten(row) : row;
    });
    return {
      status: statusOf(now),
      document: { content: (sink) => sink.text(say(fleetPage(retrofit, profileAt, now))) },
      cautions: [...cautions.values()],
      json: { possible: now.every(({ state }) => isGood(state)), cars: now.map(rowToJson) },
      ...(write && { says: inWords(now) }),
    };
  };
  // What there is to tell, the sets say.
  return {
    status: 0,
    document: { content: '' },
    cautions: [...cautions.values()],
    json: {},
    sets: { isWritten: write, of: sets, told },
  };

  async function rowOf({
    vehicle,
    title,
    unread,
    undecided,
  }: Car): Promise<{ row: FleetRow; rewrites: readonly Rewrite[] }> {
    const car = { title, id: vehicle.id };
    const stopped = (state: 'unread' | 'in-the-way', why: readonly Phrase[]) => ({
      row: rowWithoutPlan(retrofit, car, state, why),
      rewrites: [],
    });
    if (unread.length > 0) return stopped('unread', unread);
    disk.lookAmong(vehicle.dumps.map(({ file }) => pathOf(file)));
    const dumps: VehicleDump[] = [];
    for (const { file, name, profileFile } of vehicle.dumps) {
      try {
        dumps.push({ ...(await disk.load(pathOf(file))), name, profileFile });
      } catch (error) {
        if (!(error instanceof Failure)) throw error;
        return stopped('unread', [error.said]);
      }
    }
    const isHalf = halfPlans().find((plan) => isOf(disk, plan, vehicle.dumps));
    if (isHalf !== undefined) return stopped('in-the-way', [isHalf.says]);
    const plan = planRetrofit(retrofit, profileAt, dumps, { unconfirmed, despite, isTyped: true }, undecided);
    const row = fleetRow(retrofit, profileAt, vehicle, car.title, plan);
    return { row, rewrites: row.state === 'possible' && plan.kind === 'planned' ? rewritesOf(disk, plan.modules) : [] };
  }
}

interface FleetCall extends Pick<Call, 'disk' | 'halfPlans'> {
  readonly write: boolean;
  readonly unconfirmed: boolean;
  readonly despite: readonly string[];
}

async function foldersAmong(disk: Disk, places: readonly string[]): Promise<readonly string[]> {
  const folders: string[] = [];
  for (const place of places) if (place !== STDIN && (await disk.isFolder(place))) folders.push(resolve(place));
  return folders;
}

/** The folder of a vehicle that a file is in: the first below the folder that was named, or that itself. */
function vehicleFolder(folders: readonly string[], file: string): string {
  const [top] = folders
    .filter((folder) => file.startsWith(folder.endsWith(sep) ? folder : folder + sep))
    .sort((a, b) => b.length - a.length);
  if (top === undefined) return dirname(file);
  const [first = '', ...more] = relative(top, file).split(sep);
  return more.length === 0 ? top : join(top, first);
}

/** What people call a vehicle. A dump that says of none is called by its folder too, as others have its name. */
function titleOf(vehicle: Car['vehicle'], folders: readonly string[]): string {
  const nameless = vehicle.dumps.find(({ dump }) => !namesVehicle(dump));
  if (nameless === undefined || vehicle.dumps.length > 1) return vehicleInWords(vehicle);
  const path = pathOf(nameless.file);
  return relative(dirname(vehicleFolder(folders, path)), path).replaceAll(sep, '/');
}

function rowOfFolder(folder: string, unread: readonly Phrase[]): Fleet['without'][number] {
  return unread.length > 0
    ? { title: basename(folder), state: 'unread', why: unread }
    : {
        title: basename(folder),
        state: 'in-the-way',
        why: [phrase('No dump in this folder is in work and names a profile.')],
      };
}

/** Whether a plan that is half done may concern some dumps; of one whose journal cannot be read it is not known. */
function isOf(disk: Disk, { folder, files }: LeftPlan, dumps: readonly HeadedDump[]): boolean {
  const paths = dumps.map(({ file }) => disk.placeOf(pathOf(file)));
  return files.length === 0
    ? paths.some((path) => path.startsWith(folder))
    : files.some((file) => paths.includes(disk.placeOf(file)));
}

function isGood(state: FleetRow['state']): boolean {
  return state === 'done' || state === 'possible' || state === 'written';
}

function statusOf(rows: readonly FleetRow[]): 0 | 1 | 2 {
  if (rows.some(({ state }) => state === 'unread')) return 2;
  return rows.every(({ state }) => isGood(state)) ? 0 : 1;
}

/** What was done, and what was not, a line each. */
function inWords(rows: readonly FleetRow[]): readonly Phrase[] {
  return [
    ...rows.flatMap((row) => [
      ...(row.state === 'written'
        ? [phrase('{0}: written, all modules', row.title)]
        : row.state === 'done'
          ? [phrase('{0}: all is as planned already', row.title)]
          : [phrase('{0}: nothing was written', row.title)]),
      ...reasonsOf(row).map((why) => phrase('{0}: {1}', row.title, why)),
    ]),
    countsInWords(rows),
  ];
}

function rowToJson({ id, title, state, why, modules }: FleetRow): object {
  return {
    vehicle: id ?? null,
    title,
    state,
    why: why.map((one) => say(one)),
    modules: modules.map((cell) => ({
      profile: cell.profile,
      state: cell.state,
      files: cell.names,
      why: cell.why.map((one) => say(one)),
      ...(cell.plan && moduleToJson(cell.plan)),
    })),
  };
}
