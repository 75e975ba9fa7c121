import type { BitField } from '../base/bits.js';
import type { ByteOrder } from '../base/number.js';
import type { Phrase } from '../base/phrase.js';
import type { Checksum } from '../checksum/checksum.js';
import type { SumSpec } from '../checksum/registry.js';
import type { Notation } from '../format/notation.js';
import type { Label } from '../format/row.js';
import type { TotalLine } from '../format/totalLines.js';
import type { Word } from '../format/word.js';
import type { JsonSpan } from './json.js';

/** What a dump's bytes mean, as read from a `*.dump-profile.json` file. Line and byte numbers are as people say them: from 1. */
export interface Profile {
  /** The files of the profiles that it extends, the nearest first; left out where it extends none. */
  readonly bases?: readonly string[];
  readonly title: string | undefined;
  /** The module's number, which some line sums cover. */
  readonly module: number | undefined;
  /** How the text is written; undefined where the file itself shows it. */
  readonly notation: Notation | undefined;
  /** The words that the file shows or stores its bytes in, where its form may be written so. */
  readonly word: Word | undefined;
  readonly geometry: Geometry | undefined;
  readonly lineSum: LineSum | undefined;
  readonly totals: readonly Total[];
  /** Bytes that may take up a difference, best first. */
  readonly balance: readonly Balance[];
  readonly options: readonly Option[];
  readonly locked: readonly Region[];
  readonly volatile: readonly Region[];
  /** Bytes that are in several places. Locks and sums inside them stand in the lists above for each; what is volatile only where it is named. */
  readonly copies: readonly Copies[];
  /** Records that move from slot to slot. What is in them is at the places of the slot in force. */
  readonly slots: readonly Slots[];
  /** Addresses within the geometry that an image need not hold. */
  readonly absent: readonly AddressRange[];
  /** The modules that the profile is for; undefined where it does not say. */
  readonly appliesTo: AppliesTo | undefined;
  /** The profile as it was read, where a dump it is bound to has another slot in force than the first one. */
  readonly asRead?: Profile;
  /** Dumps by which it can be proved. */
  readonly samples: readonly Sample[];
  /** What is wrong with the profile: one with a flaw is for reading only, and nothing is written or proved by it. */
  readonly flaw: ProfileFlaw | undefined;
}

/** A dump that shows that a profile is right. */
export interface Sample {
  /** Its path, seen from the profile. */
  readonly dump: string;
  /** What its options are set to, as a person writes it, by their ids. */
  readonly expect: ReadonlyMap<string, string>;
}

/** Patterns with `*` and `?` that the headers `@part` and `@software` of a dump must match; an empty list allows any. */
export interface AppliesTo {
  readonly part: readonly string[];
  readonly software: readonly string[];
}

/** The first problem of a profile, and how many it has. */
export interface ProfileFlaw {
  readonly first: Phrase;
  readonly span: JsonSpan;
  readonly count: number;
}

export type Geometry = LineGeometry | AddressGeometry;

/** The lines of a dump; `lineLabels` knows all about their labels. */
export interface LineGeometry {
  readonly kind: 'lines';
  /** How many numbers each label has. */
  readonly numbers: number;
  /** At least one, in rising order of labels. */
  readonly stretches: readonly Stretch[];
  readonly byHead: ReadonlyMap<string, readonly Stretch[]>;
  /** Lines in all. */
  readonly count: number;
}

/** Lines whose labels differ in their last number only, which counts up. */
export interface Stretch {
  /** What all labels begin with before their last "-"; nothing where they have one number. */
  readonly head: string;
  /** The last number of the first label and of the last one. */
  readonly from: number;
  readonly to: number;
  /** Data bytes of a line: one count for all, or the last number of its label → count. */
  readonly data: number | ReadonlyMap<number, number>;
  /** Line-sum bytes of a line. */
  readonly sum: number;
  /** How much the labels rise from line to line. */
  readonly step: number;
  /** Lines of the dump before these. */
  readonly before: number;
}

export interface AddressGeometry {
  readonly kind: 'addresses';
  readonly from: number;
  readonly to: number;
}

/** Parts that a line's sum covers: of a label all numbers, or one of them. */
export type LineSumPart = 'module' | 'label' | `label.${1 | 2 | 3 | 4}` | 'length' | 'data';

export interface LineSum {
  readonly spec: SumSpec;
  readonly checksum: Checksum;
  readonly order: ByteOrder;
  /** What the sum runs over, in this order. */
  readonly over: readonly LineSumPart[];
  /** Of each number of the label. */
  readonly labelBytes: number;
  /** The data bytes that it covers, in this order; undefined for all. */
  readonly data: readonly DataRange[] | undefined;
  /** Whether it is written before the data of its line; in a record it is behind them all the same. */
  readonly front: boolean;
  /** How sure it is; what is written by a guess, a person is told of. */
  readonly confidence: Confidence | undefined;
}

/** Data bytes of a line from `first` (from 1) to `last`; without `last`, up to the end of the line less `spare` bytes. */
export interface DataRange {
  readonly first: number;
  readonly last: number | undefined;
  readonly spare: number;
}

export interface Total {
  readonly name: string;
  readonly spec: SumSpec;
  readonly checksum: Checksum;
  readonly order: ByteOrder;
  readonly covers: Coverage;
  readonly stored: TotalPlace;
  /** How the line that holds it is written, where that is unlike the data lines. */
  readonly line: TotalLine | undefined;
  /** The stored value is meant to stay: a difference is balanced, not written into it. */
  readonly keep: boolean;
  /** How sure it is; what is written into a guess, a person is told of. */
  readonly confidence: Confidence | undefined;
  /** The slots of which it is the check: it is that of the slot in force. */
  readonly ofSlots?: string;
  /** Where the total stands in the profile, for related places. */
  readonly source: JsonSpan;
}

/** The bytes a total runs over; the bytes in which it is stored itself never count. */
export type Coverage =
  | { readonly kind: 'lines'; readonly from: Label; readonly to: Label; readonly sums: boolean }
  | { readonly kind: 'all-lines'; readonly sums: boolean }
  | {
      readonly kind: 'line-parts';
      readonly parts: readonly LinePart[];
      readonly except: readonly Place[];
      readonly sums: boolean;
      readonly constants: readonly Constant[];
    }
  | { readonly kind: 'addresses'; readonly ranges: readonly AddressRange[]; readonly constants: readonly Constant[] };

/** Lines from one to another, or some bytes of one line. */
export interface LinePart {
  readonly from: Label;
  readonly to: Label;
  /** Which bytes of it, the first one from 1; undefined for all. */
  readonly bytes: { readonly first: number; readonly count: number } | undefined;
}

/** Bytes that a sum runs over and that are nowhere in the dump. */
export interface Constant {
  /** How many ranges or parts the sum has run over before it. */
  readonly before: number;
  readonly bytes: readonly number[];
}

/** Addresses from `from` to `to`, both included. */
export interface AddressRange {
  readonly from: number;
  readonly to: number;
}

export type TotalPlace =
  | { readonly kind: 'record'; readonly label: Label }
  | { readonly kind: 'line'; readonly line: Label; readonly byte: number }
  | { readonly kind: 'address'; readonly address: number };

/** A run of bytes in one line (`byte` from 1) or in an image; `inSlot` where it is given by a byte of a record that moves. */
export type Place = { readonly inSlot?: InSlot } & (
  | { readonly kind: 'line'; readonly line: Label; readonly byte: number; readonly count: number }
  | { readonly kind: 'address'; readonly address: number; readonly count: number }
);

/** A byte of a record that moves: the name of its slots, and which byte it is, from 0. */
export interface InSlot {
  readonly slots: string;
  readonly offset: number;
}

export interface Balance {
  readonly place: Place;
  readonly source: JsonSpan;
}

export interface Region {
  readonly place: Place;
  readonly why: string | undefined;
  /** What is there tells who somebody is: copies to be shared hold something invented. */
  readonly personal?: true;
  readonly source: JsonSpan;
}

/** The same bytes in several places: the first is read, and whatever changes in one of them changes in all. */
export interface Copies {
  readonly name: string;
  /** Each place as runs of bytes that follow each other; all places have the same number of bytes. */
  readonly places: readonly (readonly Place[])[];
  /** Whether all places but the first hold each bit inverted. */
  readonly isInverted: boolean;
  /** Whether most of them are right where they differ; else nobody can tell which is. */
  readonly byMajority: boolean;
  readonly source: JsonSpan;
}

/** A record that moves: it is in each of several slots in turn, and the newest sound one is in force. */
export interface Slots {
  readonly name: string;
  /** Each slot as runs of bytes that follow each other; all have the same number of bytes. */
  readonly places: readonly (readonly Place[])[];
  /** Where in a slot its number is that rises with each record, from 0. */
  readonly sequence: { readonly offset: number; readonly bytes: number; readonly order: ByteOrder };
  /** The sum over all other bytes of a slot, and where in it it is stored, from 0. */
  readonly check: Pick<Total, 'spec' | 'checksum' | 'order'> & { readonly offset: number };
  /** Which slot is in force in the dump that the profile is bound to, from 0; undefined where nobody can tell. */
  readonly inForce: number | undefined;
  readonly source: JsonSpan;
}

export type Hazard =
  | 'braking'
  | 'steering'
  | 'restraints'
  | 'lighting'
  | 'emissions'
  | 'security'
  | 'driver-assistance'
  | 'high-voltage'
  | 'other';

export type Confidence = 'confirmed' | 'likely' | 'guess';

/** A module on which somebody saw that an option is what the profile says. */
export interface Observation {
  readonly part: string | undefined;
  readonly software: string | undefined;
  /** A day, such as 2024-02-29. */
  readonly date: string | undefined;
  readonly how: 'set-and-tried' | 'found-by-search' | 'told';
  readonly by: string | undefined;
  /** Two hex digits that tell vehicles apart and are too few to tell which one it was. */
  readonly vehicle?: string;
}

export interface Seen {
  readonly observations: readonly Observation[];
  /** How sure the option is by them. */
  readonly confidence: Confidence;
  /** Those that make it no surer, each by its place, and why. */
  readonly uncounted: readonly { readonly at: JsonSpan; readonly why: Phrase }[];
  /** Where the profile says for itself how sure it is. */
  readonly givenAt?: JsonSpan;
}

export interface Option {
  readonly id: string;
  readonly title: string;
  readonly group: string | undefined;
  /** Where its bits lie, the highest first: one part, or several where they lie apart. */
  readonly parts: readonly OptionPart[];
  /** Of several bytes. */
  readonly order: ByteOrder;
  /** Whether the bits of each byte count the other way round: the lowest is worth most. */
  readonly reversed: boolean;
  /** Whether each byte holds its low four bits first. */
  readonly swapped: boolean;
  readonly meaning: Meaning;
  /** Words for values that are no number, text or date. */
  readonly special: ReadonlyMap<bigint, string>;
  readonly needs: readonly Condition[];
  readonly excludes: readonly Condition[];
  /** What a wrong setting can harm. */
  readonly hazards: readonly Hazard[];
  /** What the profile says, or else what follows from what was seen. */
  readonly confidence: Confidence | undefined;
  readonly evidence: string | undefined;
  /** On which modules it was seen; left out where the profile names none. */
  readonly seen?: Seen;
  /** What it holds tells who somebody is: copies to be shared hold something invented. */
  readonly personal?: true;
  /** Which one it is of several of a kind. */
  readonly several?: OneOfSeveral;
  readonly source: JsonSpan;
}

/** One of several options of a kind: their id and title, without a number, how many there are, and which one it is, from 1. */
export interface OneOfSeveral {
  readonly id: string;
  readonly title: string;
  readonly count: number;
  readonly number: number;
  /** Of a table: for which value of what it holds. */
  readonly axis: { readonly name: string | undefined; readonly unit: string; readonly at: number } | undefined;
}

/** Bits side by side that belong to an option. */
export interface OptionPart {
  readonly place: Place;
  /** The whole byte or bytes where the profile names none. Only where `place.count` is 1 may it be less. */
  readonly bits: BitField | undefined;
}

export type Meaning = WordsMeaning | NumberMeaning | TextMeaning | DateMeaning | CountedDateMeaning;

export interface WordsMeaning {
  readonly kind: 'values' | 'flags';
  readonly words: ReadonlyMap<number, string>;
}

export interface NumberMeaning {
  readonly kind: 'number';
  /** Whether each four bits are a decimal digit. */
  readonly coding: 'binary' | 'bcd';
  readonly scale: number;
  readonly offset: number;
  readonly unit: string;
  readonly min: number | undefined;
  readonly max: number | undefined;
  readonly signed: boolean;
}

export type TextCoding = 'ascii' | 'latin-1' | 'utf-16le' | 'utf-16be' | 'bcd';

export interface TextMeaning {
  readonly kind: 'text';
  readonly coding: TextCoding;
  /** The byte that fills the rest; where it is not given, blanks, 00 and FF at the end count as no text. */
  readonly pad: number | undefined;
}

export type DatePart = 'YYYY' | 'YY' | 'MM' | 'DD' | 'WW' | 'hh' | 'mm' | 'ss';

/** A date or time in parts, in the order in which they are stored. */
export interface DateMeaning {
  readonly kind: 'date';
  readonly parts: readonly DatePart[];
  readonly coding: 'binary' | 'bcd';
  /** Of a year of two bytes. */
  readonly yearOrder: ByteOrder;
}

/** A date or time that is counted from another one on. */
export interface CountedDateMeaning {
  readonly kind: 'counted-date';
  readonly unit: 'days' | 'seconds';
  /** How many of these one step of the stored value is worth. */
  readonly step: number;
  /** Seconds since 1970-01-01 00:00. */
  readonly since: number;
}

/** A condition on another option, of this profile or of the one named by its file. */
export interface Condition {
  readonly profile: string | undefined;
  readonly option: string;
  readonly in: readonly number[];
  readonly source: JsonSpan;
}
