import { byVehicle } from '../checks/otherModules.js';
import type { Dump } from '../model/dump.js';
import { headerValue } from '../model/headers.js';

/** A dump by what its head says, and where the profile lies that it names. */
export interface HeadedDump {
  readonly file: string;
  readonly dump: Pick<Dump, 'rows' | 'headers'>;
  readonly profileFile: string;
}

/** A vehicle as people tell it from others, with all dumps of it. */
export interface VehicleAtHand<T extends HeadedDump = HeadedDump> {
  /** Its VIN, else what people call it, else the file of its one dump. */
  readonly id: string;
  readonly title: string;
  readonly dumps: readonly T[];
}

/** The vehicles of which at least one of the unsealed dumps belongs to one of these profiles. */
export function vehiclesWith<T extends HeadedDump>(
  dumps: readonly T[],
  profileFiles: readonly string[],
): readonly VehicleAtHand<T>[] {
  return byVehicle(dumps)
    .filter((ofVehicle) => ofVehicle.some(({ profileFile }) => profileFiles.includes(profileFile)))
    .map((ofVehicle) => ({ ...calledIn(ofVehicle), dumps: ofVehicle }));
}

/** What tells a vehicle from others, and what people call it, as its dumps say. */
export function calledIn(dumps: readonly Pick<HeadedDump, 'file' | 'dump'>[]): Pick<VehicleAtHand, 'id' | 'title'> {
  const value = (name: 'vin' | 'vehicle') => dumps.flatMap(({ dump }) => headerValue(dump, name) ?? [])[0];
  const id = value('vin') ?? value('vehicle') ?? dumps[0]?.file ?? '';
  return { id, title: value('vehicle') ?? id };
}
