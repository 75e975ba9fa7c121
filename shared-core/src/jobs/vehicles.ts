import type { Phrase } from '../base/phrase.js';
import { byVehicle } from '../checks/otherModules.js';
import type { Dump } from '../model/dump.js';
import { headerValue } from '../model/headers.js';

/** A dump by what its head says, and where the profile lies that it names. */
export interface HeadedDump {
  readonly file: string;
  readonly name: string;
  readonly dump: Pick<Dump, 'rows' | 'headers'>;
  readonly profileFile: string;
}

/** A dump that names no profile. */
export type UnnamedDump = Omit<HeadedDump, 'profileFile'>;

/** A dump of which nobody can tell which module it is of, and why. */
export interface UndecidedDump extends UnnamedDump {
  readonly why: Phrase;
}

/** A vehicle as people tell it from others, with all dumps of it. */
export interface VehicleAtHand<T extends HeadedDump = HeadedDump> {
  /** Its VIN, else what people call it, else the file of its one dump. */
  readonly id: string;
  /** What people call it, else its VIN, else the name of that file. */
  readonly title: string;
  readonly vin?: string;
  readonly dumps: readonly T[];
}

/** The vehicles of which at least one of the unsealed dumps belongs to one of these profiles. */
export function vehiclesWith<T extends HeadedDump>(
  dumps: readonly T[],
  profileFiles: readonly string[],
): readonly VehicleAtHand<T>[] {
  return vehiclesOf(dumps).filter((vehicle) =>
    vehicle.dumps.some(({ profileFile }) => profileFiles.includes(profileFile)),
  );
}

/** The vehicles that some dumps are of. */
export function vehiclesOf<T extends HeadedDump>(dumps: readonly T[]): readonly VehicleAtHand<T>[] {
  return byVehicle(dumps).map((ofVehicle) => ({ ...calledIn(ofVehicle), dumps: toldApart(ofVehicle) }));
}

/** Dumps of one name in several folders have as many folders before it as tell them apart. */
function toldApart<T extends HeadedDump>(dumps: readonly T[]): readonly T[] {
  return dumps.map((dump) => {
    const twins = dumps.filter(({ name, file }) => name === dump.name && file !== dump.file);
    if (twins.length === 0) return dump;
    const folders = foldersOf(dump.file);
    const isTold = (count: number) =>
      twins.every(({ file }) => foldersOf(file).slice(-count).join('/') !== folders.slice(-count).join('/'));
    const count = folders.findIndex((_, i) => isTold(i + 1)) + 1;
    return { ...dump, name: [...folders.slice(count === 0 ? 0 : -count).map(decodeURIComponent), dump.name].join('/') };
  });
}

function foldersOf(file: string): readonly string[] {
  return file.split('/').slice(0, -1);
}

/** What tells a vehicle from others, and what people call it, as its dumps say. */
export function calledIn(
  dumps: readonly Pick<HeadedDump, 'file' | 'name' | 'dump'>[],
): Pick<VehicleAtHand, 'id' | 'title' | 'vin'> {
  const value = (name: 'vin' | 'vehicle') => dumps.flatMap(({ dump }) => headerValue(dump, name) ?? [])[0];
  const [vin, vehicle, [first]] = [value('vin'), value('vehicle'), dumps];
  const id = vin ?? vehicle ?? first?.file ?? '';
  return { id, title: vehicle ?? vin ?? first?.name ?? '', ...(vin !== undefined && { vin }) };
}

/** A vehicle as people call it, with its VIN. */
export function vehicleInWords({ title, vin }: Pick<VehicleAtHand, 'title' | 'vin'>): string {
  return vin === undefined || vin === title ? title : `${title} (${vin})`;
}
