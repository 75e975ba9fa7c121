import type { DumpParams } from './common.js';

/** Client to server: what there is in the workspace before anything is learned: dumps that no profile explains, and profiles that fit. */
export const LEARN_FROM = 'countersum/learnFrom';
export interface LearnFromResult {
  readonly dumps: readonly {
    readonly uri: string;
    /** A path that tells it from the others. */
    readonly name: string;
    /** Whether its lines have the same numbers and lengths. */
    readonly alike: boolean;
  }[];
  /** Profiles of the workspace by which every line and sum of the dump is right, as paths relative to the dump. */
  readonly profiles: readonly string[];
  /** Where the dump is to name its profile; `null` where it names one already. */
  readonly naming: HeaderPlace | null;
  /** Which dumps could not be read, and why. */
  readonly remarks: readonly string[];
}

/** Client to server: how a dump is written and summed. May take long; can be cancelled. */
export const LEARN = 'countersum/learn';
export interface LearnParams extends DumpParams {
  /** Other dumps of the same module. */
  readonly others: readonly string[];
}
export interface LearnResult {
  readonly name: string;
  readonly rules: readonly LearnedRule[];
  readonly remarks: readonly string[];
  /** Where the dump is to name its profile; `null` where it names one already. */
  readonly naming: HeaderPlace | null;
}
export interface LearnedRule {
  readonly form: string;
  readonly lineSum: string;
  readonly total: string;
  readonly lines: number;
  readonly linesExplained: number;
  /** Lines that are probably damaged. */
  readonly damaged: readonly string[];
  readonly chance: string;
  /** These dumps cannot tell it from the first. */
  readonly undecided: boolean;
  /** The text of a profile. */
  readonly profile: string;
}
/** Where a header goes into a document of this version, counted from 0, and what stands around its value. */
export interface HeaderPlace {
  readonly line: number;
  readonly column: number;
  readonly before: string;
  readonly after: string;
  readonly version: number | null;
}

/** Client to server: by what the dumps of a module can be put in two groups. */
export const OPTION_GROUPS = 'countersum/optionGroups';
export interface OptionGroupsResult {
  readonly tags: readonly { readonly tag: string; readonly fitted: number; readonly absent: number }[];
  readonly dumps: readonly {
    readonly uri: string;
    readonly name: string;
    readonly fitted: string;
    readonly absent: string;
  }[];
}

/** Client to server: which place tells dumps with some equipment from dumps without it. May take long; can be cancelled. */
export const FIND_OPTION = 'countersum/findOption';
export interface FindOptionParams extends DumpParams {
  /** What the equipment is called; where no dumps are named, those whose headers say so are in the groups. */
  readonly tag: string;
  readonly with: readonly string[];
  readonly without: readonly string[];
}
export interface FindOptionResult {
  readonly name: string;
  /** How many dumps are in each group. */
  readonly sizes: readonly number[];
  readonly candidates: readonly FoundPlace[];
  readonly map: OptionMap;
  readonly remarks: readonly string[];
  /** Which dump would settle most. */
  readonly next: string | null;
  /** What differs where there is one dump in each group: the same car, before and after. */
  readonly pair: readonly string[];
  /** The profile that explains the dumps, or the text of one that was learned from them. */
  readonly profile: { readonly uri: string } | { readonly draft: string } | null;
  readonly naming: HeaderPlace | null;
}
export interface FoundPlace {
  readonly place: string;
  /** For each group the values that mark it, in hex. */
  readonly values: readonly (readonly string[])[];
  readonly p: string;
  readonly q: string;
  /** Whether its q is low enough to call it found. */
  readonly found: boolean;
  readonly exceptions: readonly string[];
  readonly sameAs: readonly string[];
  /** The option as it goes into a profile (`AddOptionParams`), but for its id and title. */
  readonly option: unknown;
}
export interface OptionMap {
  readonly columns: number;
  readonly rows: readonly { readonly label: string; readonly cells: readonly OptionMapCell[] }[];
  /** Lines in which nothing varies, left out because there are too many. */
  readonly left: number;
}
export interface OptionMapCell {
  readonly byte: number;
  /** As text; `null` where all dumps hold the same, or the byte is a sum or changes by itself. */
  readonly q: string | null;
  /** 0 for nothing to see, up to 4. */
  readonly level: number;
}

/** Client to server: a sheet of single trials on a dump; parameters as to find the option. */
export const PLAN_TRIALS = 'countersum/planTrials';
export interface PlanTrialsResult {
  readonly title: string;
  /** Markdown. */
  readonly page: string;
  /** The dump has no backup, which would be the way back from all trials. */
  readonly lacksBackup: boolean;
}

/** Client to server: the text of a profile with a found option in it. */
export const ADD_OPTION = 'countersum/addOption';
export interface AddOptionParams {
  readonly profile: string;
  /** A found option with an id and a title. */
  readonly option: unknown;
}
export interface AddOptionResult {
  /** Stretches to be replaced, in rising order, in UTF-16 units from the start of the text. */
  readonly edits: readonly { readonly offset: number; readonly length: number; readonly text: string }[];
  /** The text after them. */
  readonly text: string;
  /** Whether an option of that id is replaced. */
  readonly replaces: boolean;
}
