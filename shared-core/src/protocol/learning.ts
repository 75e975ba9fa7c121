import type { DraftOption } from '../learn/addOption.js';
import type { ProfileWish } from '../learn/changeProfile.js';
import type { Hazard } from '../profile/profile.js';
import type { DumpParams, Stretch } from './common.js';
import type { DumpWords } from './files.js';

/** Client to server: what there is in the workspace before anything is learned: dumps that no profile explains, and profiles that fit. */
export const LEARN_FROM = 'countersum/learnFrom';
export interface LearnFromResult {
  readonly dumps: readonly {
    readonly uri: string;
    readonly words: DumpWords;
    /** A path that tells it from the others. */
    readonly name: string;
    /** Whether its lines have the same numbers and lengths. */
    readonly alike: boolean;
  }[];
  /** Profiles of the workspace by which every line and sum of the dump is right, as paths relative to the dump. */
  readonly profiles: readonly { readonly path: string; readonly title: string }[];
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
  /** Another dump with other values would make the best rule surer. */
  readonly wantsMore: boolean;
  readonly rules: readonly LearnedRule[];
  /** What was found in the bytes of images, sums first; `null` where the dumps are none. */
  readonly findings: readonly FoundInBytes[] | null;
  readonly remarks: readonly string[];
  /** Where the dump is to name its profile; `null` where it names one already. */
  readonly naming: HeaderPlace | null;
  /** What the module may be called, for a person to correct; the drafts have it as their title. */
  readonly title: string;
}
export interface FoundInBytes {
  /** What it is and where, in words. */
  readonly what: string;
  /** In words, how likely it is an accident; and in figures. */
  readonly odds: string;
  readonly chance: string;
}
export interface LearnedRule {
  readonly form: string;
  /** The pattern by which its lines are written, which `form` says in words. */
  readonly pattern: string | null;
  readonly lineSum: string;
  readonly total: string;
  readonly lines: number;
  readonly linesExplained: number;
  /** Lines that are probably damaged. */
  readonly damaged: readonly string[];
  /** In words, how likely it is that a wrong rule fits as well; and in figures. */
  readonly odds: string;
  readonly chance: string;
  /** These dumps cannot tell it from the first. */
  readonly undecided: boolean;
  /** One sum of the dump that was asked about, from its bytes to what is stored; `null` where none is right. */
  readonly worked: { readonly of: string; readonly steps: string; readonly hint: string | null } | null;
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
  /** It goes into the file of headers beside the dump. */
  readonly isBeside?: true;
}

/** Client to server: which other dumps a profile explains as well as the one that names it. */
export const SIMILAR_DUMPS = 'countersum/similarDumps';
export interface SimilarDumpsParams extends DumpParams {
  /** The address of the profile. */
  readonly profile: string;
}
export interface SimilarDumpsResult {
  /** Dumps that name no profile yet, by which each of their lines and sums is right. */
  readonly dumps: readonly {
    readonly uri: string;
    readonly name: string;
    readonly naming: HeaderPlace;
    /** The profile as the dump is to name it. */
    readonly path: string;
  }[];
  /** Dumps that it explains as well and that stay as they are, each with the reason. */
  readonly left: readonly string[];
}

/** Client to server: by what the dumps of a module can be put in two groups. */
export const OPTION_GROUPS = 'countersum/optionGroups';
export interface OptionGroupsResult {
  readonly tags: readonly { readonly tag: string; readonly fitted: number; readonly absent: number }[];
  readonly dumps: readonly {
    readonly uri: string;
    readonly name: string;
    readonly words: DumpWords;
    readonly fitted: string;
    readonly absent: string;
  }[];
  /** All other dumps of the folder, and why each of them is not offered. */
  readonly others: readonly {
    readonly uri: string;
    readonly name: string;
    readonly why: string;
    /** It names no profile, and that of the dump that was asked about explains it. */
    readonly isUnnamed: boolean;
    /** It is plainly of another module, so nobody meant it. */
    readonly isOther: boolean;
  }[];
  /** The profile of the dump that was asked about; `null` where it names none. */
  readonly profile: string | null;
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
  readonly profile: { readonly uri: string } | { readonly draft: string; readonly title: string } | null;
  readonly naming: HeaderPlace | null;
  readonly hazards: readonly HazardChoice[];
}
/** What a wrong setting of an option may touch: as profiles and as people call it. */
export interface HazardChoice {
  readonly id: Hazard;
  readonly words: string;
}
/** A place that can go into a profile as an option. */
export interface PlaceOfItsOwn {
  readonly place: string;
  /** For each group the values that mark it, in hex. */
  readonly values: readonly (readonly string[])[];
  /** What the option of the profile is called that is at this very place; `null` where there is none. */
  readonly inProfile: string | null;
  /** Why it may be half of the equipment; `null` where nothing changes together with it. */
  readonly alone: string | null;
  /** The option as it goes into a profile, but for what a person says of it: its id, its title and its words. */
  readonly option: DraftOption;
}
export interface FoundPlace extends PlaceOfItsOwn {
  /** In words, how likely it is that the place is mere chance; and the figures. */
  readonly odds: string;
  readonly p: string;
  readonly q: string;
  /** Whether its q is low enough to call it found. */
  readonly found: boolean;
  /** Whether all dumps are as labelled there, which chance alone may do. */
  readonly fits: boolean;
  readonly exceptions: readonly string[];
  /** Places that tell the dumps apart as well, as they never changed without this one. */
  readonly sameAs: readonly PlaceOfItsOwn[];
  /** The whole digit that the place is part of, where it can be the option as well. */
  readonly digit: Pick<FoundPlace, 'place' | 'values' | 'option' | 'inProfile'> | null;
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
  /** The same in words, and in so few of them that they fit into the map. */
  readonly odds: string | null;
  readonly short: string | null;
  /** 0 for nothing to see, up to 4. */
  readonly level: number;
  /** Whether a place in it fits all dumps. */
  readonly fits: boolean;
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

/** Client to server: what of some selected digits can be named as an option. */
export const NEW_OPTION = 'countersum/newOption';
export interface NewOptionParams extends DumpParams {
  readonly selection: Stretch;
}
export interface NewOptionResult {
  /** The profile that the option goes into; `null` where the dump names none. */
  readonly profile: string | null;
  /** All of the digits first, then their single bits. */
  readonly fields: readonly OptionField[];
  readonly hazards: readonly HazardChoice[];
  /** The options that have some of the selected bits already, which are not among the fields. */
  readonly taken: readonly TakenOption[];
}
export interface TakenOption {
  readonly id: string;
  readonly title: string;
  readonly says: string;
  /** How it is made to have all of the digits, and what a person must know before; `null` where it cannot. */
  readonly widen: { readonly wish: ProfileWish; readonly asks: readonly string[] } | null;
}
export interface OptionField {
  readonly words: string;
  /** How many bits it has. */
  readonly width: number;
  /** What the dump holds there. */
  readonly now: number;
  /** The option as it goes into a profile, but for what a person says of it. */
  readonly option: DraftOption;
}

/** Client to server: what of a profile's text changes for a wish of a person. */
export const CHANGE_PROFILE = 'countersum/changeProfile';
export interface ChangeProfileParams {
  readonly profile: string;
  /** Its address, from which those that it extends are found. */
  readonly uri?: string;
  readonly wish: ProfileWish;
}
export interface ChangeProfileResult {
  /** In rising order, in UTF-16 units from the start of the text. */
  readonly edits: readonly { readonly offset: number; readonly length: number; readonly text: string }[];
}

/** Client to server: which file sums of a profile are a guess no more, by the dumps at hand. */
export const UNCONFIRMED_SUMS = 'countersum/unconfirmedSums';
export interface UnconfirmedSumsParams {
  readonly profile: string;
}
export interface UnconfirmedSumsResult {
  /** What writes it into the profile; `null` where nothing confirms any. */
  readonly wish: ProfileWish | null;
  /** What the dumps show, a sentence for each sum. */
  readonly says: readonly string[];
}

/** Client to server: the text of a profile with an option in it. */
export const ADD_OPTION = 'countersum/addOption';
export interface AddOptionParams {
  readonly profile: string;
  /** Its address, where it is in a file. */
  readonly uri?: string;
  readonly option: DraftOption;
}
export interface AddOptionResult {
  /** Stretches to be replaced, in rising order, in UTF-16 units from the start of the text. */
  readonly edits: readonly { readonly offset: number; readonly length: number; readonly text: string }[];
  /** The text after them. */
  readonly text: string;
  /** Whether an option of that id is replaced. */
  readonly replaces: boolean;
}
