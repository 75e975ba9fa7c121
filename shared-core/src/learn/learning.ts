import type { Phrase } from '../base/phrase.js';
import type { Label } from '../format/row.js';
import type { DraftProfile } from './draftProfile.js';

export interface TextToLearn {
  readonly name: string;
  readonly text: string;
}

/** How likely each part of a rule is mere chance. */
export interface PartChances {
  readonly lines: number | null;
  readonly total: number | null;
}

/** A profile that may explain the dumps, with what speaks for it. */
export interface LearnCandidate {
  readonly profile: DraftProfile;
  /** The names of the texts that it was learned from; others were left out. */
  readonly from: readonly string[];
  readonly linesExplained: number;
  readonly lines: number;
  /** Undefined where no total was found. */
  readonly totalExplained: boolean | undefined;
  /** Upper bound of the probability that wrong rules fit as well by accident; of rules that are undecided one fits. */
  readonly chance: number;
  /** The same of the rule for lines and of the total alone; `null` where there is none. */
  readonly chances: PartChances;
  /** Lines whose sum does not follow the rule, where the others make it sure: most likely damaged; `called` by their dump. */
  readonly damaged: readonly { readonly name: string; readonly label: Label; readonly called: Label }[];
  /** Lines that look like those of the dump and cannot be read, as rows of their files from 1. */
  readonly unread: readonly { readonly name: string; readonly row: number }[];
  /** Rows that hold hex digits and are taken for text, which nothing in them says. */
  readonly unmarked: readonly { readonly name: string; readonly row: number }[];
  /** These dumps cannot tell it from the best one. */
  readonly undecided: boolean;
  /** The rule for lines holds as well with the first byte of each for its sum as with the last, which is taken. */
  readonly eitherEnd: boolean;
}

/** Something that was found in the bytes of images. */
export interface Finding {
  readonly kind: 'sum' | 'copy' | 'slots' | 'date' | 'text' | 'filler';
  /** What it is and where. */
  readonly said: Phrase;
  /** Its first and its last byte, as addresses; of a sum those of the stored value. */
  readonly from: number;
  readonly to: number;
  /** Upper bound of the probability that it is an accident, over all that was tried. */
  readonly chance: number;
  /** These images cannot tell whether it is so, or something else. */
  readonly undecided: boolean;
}

export interface Learning {
  /** Best first. */
  readonly candidates: readonly LearnCandidate[];
  /** What the user should know: mixed shapes, rules that cannot be told apart, nothing found. */
  readonly remarks: readonly Phrase[];
  /** What was found in images, by its kind. */
  readonly findings?: readonly Finding[];
}
