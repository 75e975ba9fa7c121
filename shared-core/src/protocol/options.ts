import type { DumpParams, EditResult, Place } from './common.js';

/** Client to server: the options of a dump with what they are set to, in the order of the profile. */
export const OPTIONS = 'countersum/options';
export interface OptionsResult {
  readonly version: number;
  /** `unexplained`: no profile, or none that can be read; `empty`: one that names no option; `found`: none but texts and dates that were found in the bytes. */
  readonly state: 'options' | 'found' | 'empty' | 'unexplained' | 'unreadable';
  readonly options: readonly OptionItem[];
  /** It has no backup, and is none itself: there is no way back from what is set. */
  readonly lacksBackup: boolean;
}
export interface OptionItem {
  readonly id: string;
  readonly title: string;
  readonly group: string | null;
  /** The table it is in: its id, what it and its axis are called, and for which value of that the option holds. */
  readonly table: { readonly id: string; readonly title: string; readonly axis: string; readonly at: string } | null;
  /** Where it stands, in words. */
  readonly place: string;
  /** The same in the text; `null` where the dump lacks it. */
  readonly range: Place | null;
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
  /** A text or date that learning found: shown, and not offered to be set. */
  readonly isFound: boolean;
  /** Why it cannot be set. */
  readonly refused: string | null;
  readonly form: 'values' | 'flags' | 'number' | 'text' | 'date';
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

/** Client to server: the dump in words. */
export const SHOW = 'countersum/show';
export interface ShowResult {
  readonly title: string;
  /** Markdown. */
  readonly page: string;
}

/** Client to server: the edit that sets an option and keeps the sums right, as the quick fix does. */
export const SET_OPTION = 'countersum/setOption';
export interface SetOptionParams extends DumpParams {
  readonly id: string;
  readonly to: { readonly value: string } | { readonly flags: readonly string[] } | { readonly written: string };
}
export type SetOptionResult = EditResult;
