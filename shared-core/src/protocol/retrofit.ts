import type { SeenInFile } from '../jobs/verify/seenInCar.js';
import type { DumpParams } from './common.js';

/** Client to server: the vehicles whose modules a retrofit could change. */
export const RETROFIT_VEHICLES = 'countersum/retrofitVehicles';
export interface RetrofitVehicle {
  /** What the vehicle is called in a plan: its VIN where its dumps have one. */
  readonly id: string;
  readonly title: string;
  readonly vin?: string;
  /** Addresses of its dumps. */
  readonly dumps: readonly string[];
  /** Those of them whose modules the retrofit changes. */
  readonly changed: readonly string[];
}

/** Client to server: what a retrofit changes in the modules of one vehicle. */
export const PLAN_RETROFIT = 'countersum/planRetrofit';
export interface PlanRetrofitParams extends DumpParams {
  readonly vehicle: string;
}
export interface PlanRetrofitResult {
  readonly title: string;
  /** The plan, or what is in its way, as Markdown. */
  readonly page: string;
  /** All modules in one edit; `null` where the plan is refused or changes nothing. */
  readonly edit: unknown | null;
  /** Whether all modules can be set as planned. */
  readonly possible: boolean;
  /** Dumps whose want of a backup is in its way. */
  readonly lackBackup: readonly string[];
  /** What it writes into each module, for the question about it. */
  readonly inFull: readonly string[];
  /** What a person must know before it is written. */
  readonly cautions: readonly string[];
}

/** Client to server: the job card of a dump in work and of the other modules of its vehicle that are changed. */
export const JOB_CARD = 'countersum/jobCard';
export interface JobCardParams extends DumpParams {
  /** The retrofit that the card follows; `null` for none; left out where it is not chosen yet. */
  readonly retrofit?: string | null;
  /** Files that hold something else than the editor shows: a card is of what is to be written from them. */
  readonly unsaved?: readonly string[];
}
export interface JobCardResult {
  readonly title: string;
  /** Markdown. */
  readonly page: string;
  /** A name for the file, where the card is kept. */
  readonly fileName: string;
  /** Why the planned dumps must not be written yet. */
  readonly open: readonly string[];
}
/** Several retrofits fit: the person chooses, and the client asks again. */
export interface RetrofitChoice {
  readonly retrofits: readonly { readonly uri: string; readonly title: string }[];
}

/** Client to server: whether what was read from a module is what a dump planned. */
export const VERIFY_READ_BACK = 'countersum/verifyReadBack';
export interface VerifyReadBackParams extends DumpParams {
  /** What was read. */
  readonly read: string;
}
export interface VerifyReadBackResult {
  readonly title: string;
  /** Markdown. */
  readonly page: string;
  readonly matches: boolean;
  readonly verdict: string;
  /** Why what was read is probably, or may be, of another vehicle or module. */
  readonly doubt: string | null;
  /** What may be noted in profiles of the options that the work has set; nothing where that is not shown. */
  readonly seen: readonly SeenInFile[];
  /** Why nothing may be noted. */
  readonly whyUnseen: string | null;
}

/** Client to server: the record of a vehicle folder. */
export const VEHICLE_RECORD = 'countersum/vehicleRecord';
export interface VehicleRecordParams {
  /** The address of the folder. */
  readonly folder: string;
}
export interface VehicleRecordResult {
  readonly title: string;
  /** Markdown. */
  readonly page: string;
}
