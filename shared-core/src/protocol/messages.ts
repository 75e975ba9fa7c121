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

/** Client to server: the options of a dump with what they are set to, in the order of the profile. */
export const OPTIONS = 'countersum/options';
export interface OptionsResult {
  readonly version: number;
  /** `unexplained`: no profile, or none that can be read; `empty`: one that names no option. */
  readonly state: 'options' | 'empty' | 'unexplained' | 'unreadable';
  readonly options: readonly OptionItem[];
}
export interface OptionItem {
  readonly id: string;
  readonly title: string;
  readonly group: string | null;
  /** Where it stands, in words. */
  readonly place: string;
  /** The same in the text; `null` where the dump lacks it. */
  readonly range: Stretch | null;
  /** What it is set to, in words; `null` where its line is missing or cannot be read. */
  readonly now: string | null;
  /** What the backup holds, where that is something else. */
  readonly before: string | null;
  readonly caution: { readonly touches: string; readonly says: string } | null;
  readonly certainty: {
    readonly confidence: 'confirmed' | 'likely' | 'guess';
    readonly says: string;
    readonly evidence: string | null;
  } | null;
  /** Why it cannot be set. */
  readonly refused: string | null;
  readonly form: 'values' | 'flags' | 'number' | 'text';
  /** Values to choose from; of flags, the bits that can be set. */
  readonly choices: readonly OptionChoice[];
  /** What can be written, where it is a number or a text. */
  readonly limits: string | null;
}
export interface OptionChoice {
  /** The value in decimal; of a flag, the number of its bit. */
  readonly value: string;
  /** The same as people read it beside its words. */
  readonly digits: string;
  readonly words: string;
  /** Whether the dump holds it now, and whether the backup does. */
  readonly current: boolean;
  readonly before: boolean;
}

/** Client to server: the edit that sets an option and keeps the sums right, as the quick fix does. */
export const SET_OPTION = 'countersum/setOption';
export interface SetOptionParams extends DumpParams {
  readonly id: string;
  readonly to: { readonly value: string } | { readonly flags: readonly string[] } | { readonly written: string };
}
export interface SetOptionResult {
  readonly edit: unknown;
  readonly version: number;
  /** What is written, in words. */
  readonly says: string;
  /** What the new value needs of other options and has not. */
  readonly needs: readonly string[];
}

/** Client to server: what the bytes of some lines of a dump are, for its map. */
export const MAP = 'countersum/map';
export interface MapParams extends DumpParams {
  /** Of the lines that hold records, counted from 0. */
  readonly from: number;
  readonly count: number;
}
export interface MapResult {
  readonly version: number;
  /** Lines in all, and bytes of the longest among those that were asked for. */
  readonly total: number;
  readonly widest: number;
  readonly from: number;
  readonly lines: readonly MapLine[];
  /** What is to be seen, in a sentence each. */
  readonly summary: readonly string[];
  /** Lines that have changed bytes or wrong ones, from the first to the last. */
  readonly marked: readonly { readonly at: number; readonly wrong: boolean }[];
}
export interface MapLine {
  readonly row: number;
  readonly label: string;
  /** Two hex digits a byte; nothing where the line cannot be read. */
  readonly digits: string;
  /** A letter a byte: `d`ata, `o`ption, `l`ocked, `v`olatile, `b`alance place, `s`um. */
  readonly roles: string;
  /** A letter a byte: `c`hanged from the backup, `w`rong, `x` both, `.` neither. */
  readonly signs: string;
}

/** Client to server: what one byte is, in words, and where it stands; `null` where there is none. */
export const MAP_BYTE = 'countersum/mapByte';
export interface MapByteParams extends DumpParams {
  readonly row: number;
  /** Counted from 0, or the column on which it stands. */
  readonly at: { readonly byte: number } | { readonly character: number };
}
export interface MapByteResult {
  /** Of the lines that hold records, counted from 0. */
  readonly line: number;
  readonly row: number;
  readonly byte: number;
  readonly lines: readonly string[];
  readonly range: Stretch;
}

/** Client to server: what differs between a dump and another one (by default its backup), each with its place. */
export const CHANGES = 'countersum/changes';
export interface ChangesResult {
  readonly otherUri: string;
  readonly options: readonly ChangeItem[];
  readonly lines: readonly ChangedLine[];
  /** What could not be held against each other, and what to look at. */
  readonly remarks: readonly string[];
  /** Whether every changed byte is accounted for. */
  readonly explained: boolean;
}
export interface ChangeItem {
  readonly title: string;
  readonly says: string;
  /** `null` where the dump has no such place. */
  readonly range: Stretch | null;
  readonly reason: 'option' | 'line-sum' | 'balance' | 'total' | 'unexplained';
}
export interface ChangedLine {
  readonly title: string;
  readonly label: string;
  /** None where the line is missing. */
  readonly bytes: readonly ChangeItem[];
}

/** Client to server: the edit that gives a line the bytes of another dump (by default of the backup). */
export const TAKE_LINE = 'countersum/takeLine';
export interface TakeLineParams extends CompareParams {
  readonly line: { readonly row: number } | { readonly label: string };
}
export interface TakeLineResult {
  readonly edit: unknown;
  readonly version: number;
  readonly says: string;
}

/** Client to server: a dump as found, planned and read back, held against each other. */
export const THREE_WAYS = 'countersum/threeWays';
export interface ThreeWaysParams extends DumpParams {
  /** The dump as found; the backup where it is left out. */
  readonly found?: string;
  readonly read: string;
}
export interface ThreeWaysResult {
  readonly foundUri: string;
  readonly options: readonly ThreeWaysRow[];
  readonly bytes: readonly ThreeWaysRow[];
  /** What could not be held against each other. */
  readonly remarks: readonly string[];
  readonly verdict: string;
  readonly good: boolean;
}
export interface ThreeWaysRow {
  readonly title: string;
  /** What stands there, beyond its title. */
  readonly what: string;
  readonly found: string;
  readonly planned: string;
  readonly read: string;
  /** What became of the plan here. */
  readonly says: string;
  readonly outcome: 'written' | 'kept' | 'other' | 'volatile';
  readonly range: Stretch | null;
}
