/** What client and server say to each other beyond the Language Server Protocol, as plain types. */

/** Server to client: the text of a file, for editors whose files do not lie on a disk. Offered by `InitializationOptions.reads`. */
export const READ_FILE = 'countersum/readFile';
export interface ReadFileParams {
  readonly uri: string;
}
/** `null` where there is no such file. */
export type ReadFileResult = string | null;

/** Files above this size are left to the command line: 50 MB, where the editor stops handing texts to extensions. */
export const LARGEST_FILE = 50 * 1024 * 1024;

/** Server to client: the dumps, profiles and retrofits of the workspace. Offered by `InitializationOptions.lists`. */
export const LIST_FILES = 'countersum/listFiles';
/** A folder with more files of ours than these was opened by mistake; more are not listed. */
export const MOST_FILES = 5000;
/** Addresses. */
export type ListFilesResult = readonly string[];

/** Client to server: how a dump differs from another one (by default its backup). */
export const COMPARE = 'countersum/compare';
export interface CompareParams {
  readonly uri: string;
  /** The dump to compare with; the backup where it is left out. */
  readonly other?: string;
}
export interface CompareResult {
  /** The other dump's bytes in the spelling of this one, to be shown beside it. */
  readonly text: string;
  readonly otherUri: string;
  readonly summary: readonly string[];
  /** 0-based rows of this dump that differ. */
  readonly rows: readonly number[];
}

/** Client to server: what a sealed copy of the dump would hold, and where it would stand. */
export const BACKUP = 'countersum/backup';
export interface DumpParams {
  readonly uri: string;
}
export interface BackupResult {
  /** Names to try in turn, best first: a backup never takes the place of a file. */
  readonly names: readonly string[];
  readonly text: string;
  /** Where the header that names the backup goes into the dump, counted from 0, and whether it replaces that line. */
  readonly line: number;
  readonly column: number;
  readonly replaces: boolean;
  /** What stands before and after the name. */
  readonly before: string;
  readonly after: string;
  readonly version: number;
}

/** Client to server: the lines that could balance the dump's kept sums. */
export const BALANCE_CHOICES = 'countersum/balanceChoices';
export interface BalanceParams extends DumpParams {
  /** What is selected in the dump. */
  readonly selection?: Stretch;
}
/** A stretch of a document as editors count: lines and UTF-16 units from 0. */
export interface Stretch {
  readonly start: { readonly line: number; readonly character: number };
  readonly end: { readonly line: number; readonly character: number };
}
/** The lines of a dump; for a memory image the addresses to ask for, which may be none. */
export type BalanceChoices = readonly BalanceChoice[] | { readonly suggested: string } | Refusal;
export interface BalanceChoice {
  readonly title: string;
  /** What is written where, or why it cannot be. */
  readonly detail: string;
  readonly edit: unknown | null;
}

/** Client to server: how the bytes at some addresses of a memory image (such as "1F0..1FF") could balance its kept sums. */
export const BALANCE_AT = 'countersum/balanceAt';
export interface BalanceAtParams extends DumpParams {
  readonly addresses: string;
}

/** Client to server: the bytes of a dump in another notation. */
export const CONVERT = 'countersum/convert';
export interface ConvertParams extends DumpParams {
  readonly to: 'dump-text' | 'intel-hex' | 's-record';
}
export interface ConvertResult {
  readonly text: string;
  /** What the other notation has no place for. */
  readonly lost: readonly string[];
}

/** Client to server: a short account of the dump, for the status item. */
export const STATUS = 'countersum/status';
export interface StatusResult {
  readonly profile: string | null;
  readonly errors: number;
  readonly warnings: number;
  readonly differences: number | null;
}

/** Client to server: the vehicles whose modules a retrofit could change. */
export const RETROFIT_VEHICLES = 'countersum/retrofitVehicles';
export interface RetrofitVehicle {
  /** What the vehicle is called in a plan: its VIN where its dumps have one. */
  readonly id: string;
  readonly title: string;
  /** Addresses of its dumps. */
  readonly dumps: readonly string[];
}

/** Client to server: what a retrofit changes in the modules of one vehicle. */
export const PLAN_RETROFIT = 'countersum/planRetrofit';
export interface PlanRetrofitParams {
  readonly uri: string;
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
}

/** Client to server: the job card of a dump in work and of the other modules of its vehicle that are changed. */
export const JOB_CARD = 'countersum/jobCard';
export interface JobCardParams {
  readonly uri: string;
  /** The retrofit that the card follows; `null` for none; left out where it is not chosen yet. */
  readonly retrofit?: string | null;
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
export interface VerifyReadBackParams {
  readonly uri: string;
  /** What was read. */
  readonly read: string;
}
export interface VerifyReadBackResult {
  readonly title: string;
  /** Markdown. */
  readonly page: string;
  readonly matches: boolean;
  readonly verdict: string;
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

/** Client to server: the lines in which a dump is not as its backup. */
export const WAY_BACK = 'countersum/wayBack';
export interface WayBackLine {
  readonly label: string;
  readonly detail: string;
}

/** Client to server: the edit that takes lines back to what the backup holds, proved byte for byte. */
export const TAKE_BACK = 'countersum/takeBack';
export interface TakeBackParams {
  readonly uri: string;
  readonly labels: readonly string[];
}
export interface TakeBackResult {
  readonly edit: unknown;
  readonly lines: number;
}

/** Kind of the quick fix that makes all sums right: asked for by itself, it is given wherever the cursor is. */
export const ALL_SUMS = 'quickfix.countersum.allSums';

/** A message with its reason where something cannot be done. */
export interface Refusal {
  readonly refused: string;
}

export interface InitializationOptions {
  /** The client answers `countersum/readFile`. */
  readonly reads?: boolean;
  /** The client answers `countersum/listFiles`. */
  readonly lists?: boolean;
  /** The client carries out the commands that code actions name. */
  readonly commands?: boolean;
  /** The client has colours for the names that this server gives to tokens (`dumpOption` …). */
  readonly tokens?: boolean;
  /** The sentences in the language of the editor, where it is not English and the client has them. */
  readonly translation?: Readonly<Record<string, string>>;
}
