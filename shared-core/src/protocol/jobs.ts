import type { StepId, StepState, StepWork } from '../jobs/steps/step.js';
import type { Use } from '../model/useHeader.js';
import type { Accepted } from './common.js';

/** Client to server: the jobs of all vehicles in the folders that are open, as steps with their state. */
export const JOBS = 'countersum/jobs';
export interface JobsParams {
  /** Addresses of texts that are not in their files as the editor shows them. */
  readonly unsaved: readonly string[];
  /** The dump that is worked on: where there are very many, its folder is looked at. */
  readonly around: string | null;
}
export interface JobsResult {
  readonly vehicles: readonly JobVehicle[];
  /** What cannot be read and may be part of a job; the address where it is a file. */
  readonly unread: readonly { readonly uri: string | null; readonly name: string; readonly says: string }[];
  /** Dumps that are only there to compare with. */
  readonly compared: readonly {
    readonly uri: string;
    readonly name: string;
    readonly isSaved: boolean;
    /** Of which vehicle it says it is; null where it does not say. */
    readonly vehicle: string | null;
  }[];
  /** How many of these name no profile, and may name that of a dump in work: the dump with its address and name. */
  readonly similar: readonly { readonly uri: string; readonly name: string; readonly count: number }[];
  /** How many dumps were not looked at, as there are very many. */
  readonly left: number;
}
export interface JobVehicle {
  readonly id: string;
  readonly title: string;
  readonly modules: readonly JobModule[];
}
export interface JobModule {
  readonly title: string;
  /** The dump that the job is about. */
  readonly uri: string;
  /** All dumps of the module. */
  readonly uris: readonly string[];
  readonly steps: readonly JobStep[];
}
export interface JobStep {
  readonly id: StepId;
  readonly title: string;
  readonly state: StepState;
  /** What is there, or what is open and why. */
  readonly says: string;
  readonly action: JobAction | null;
  /** What can be done as well, or in its place. */
  readonly more: readonly JobAction[];
}
/** What a person can do for a step; the client knows how. */
export interface JobAction {
  readonly does: StepWork;
  readonly uri: string;
  readonly other: string | null;
}

/** Server to client: files have changed, so that jobs may be at another step. Offered by `InitializationOptions.jobs`. */
export const JOBS_CHANGED = 'countersum/jobsChanged';

/** Client to server: asks anew how the plans are to end that the command line was cut short in. */
export const OFFER_PLANS = 'countersum/offerPlans';

/** Client to server: the edit that says in a dump what it is of; headers that it has already stay as they are. */
export const DESCRIBE = 'countersum/describe';
export interface DescribeParams extends Accepted {
  readonly uri: string;
  /** Another dump of the same module, whose profile and vehicle it gets. */
  readonly like?: string;
  readonly vehicle?: string;
  /** When it was read, ISO 8601. */
  readonly taken?: string;
  /** What it is here for; "work" takes back what a header says of that. */
  readonly use?: Use | 'work';
}
export interface DescribeResult {
  /** Text that goes in at a place, counted from 0; nothing where all is said already. */
  readonly line: number;
  readonly column: number;
  readonly text: string;
  /** Rows that are taken out, counted from 0. */
  readonly drops: readonly number[];
  /** The text goes into the file of headers beside the dump; of that, lines of "@use" are taken out where rows are. */
  readonly isBeside: boolean;
  readonly version: number;
}
