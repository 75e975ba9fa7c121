import type { DifferenceReason } from '../compare/reasons.js';
import type { DumpParams, EditResult, Place } from './common.js';

/** Client to server: how a dump differs from another one (by default its backup). */
export const COMPARE = 'countersum/compare';
export interface CompareParams extends DumpParams {
  /** The dump to compare with; the backup where it is left out. */
  readonly other?: string;
}
export interface CompareResult {
  /** The other dump's bytes in the spelling of this one, to be shown beside it. */
  readonly text: string;
  readonly otherUri: string;
  readonly summary: readonly string[];
  /** The same without the single bytes. */
  readonly inShort: readonly string[];
  /** 0-based rows of this dump that differ. */
  readonly rows: readonly number[];
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
  readonly range: Place | null;
  readonly reason: DifferenceReason;
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
export type TakeLineResult = EditResult;

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
  readonly outcome: 'written' | 'kept' | 'other' | 'volatile' | 'not-read';
  readonly range: Place | null;
}

/** Client to server: what differs between some dumps, each by its own profile, as a table of places and dumps. */
export const COMPARE_MANY = 'countersum/compareMany';
export interface CompareManyParams extends DumpParams {
  /** The dumps that are compared with the first. */
  readonly others: readonly string[];
}
export interface CompareManyResult {
  /** All that were asked for, in order. */
  readonly files: readonly ManyFile[];
  /** The dumps that are in the table, by their numbers in `files`. */
  readonly columns: readonly number[];
  readonly rows: readonly ManyRow[];
  /** What could not be compared, what is not in the table, and whether all are the same. */
  readonly says: readonly string[];
}
export interface ManyFile {
  readonly uri: string;
  /** As people tell them apart. */
  readonly name: string;
  /** Why it is not in the table; `null` where it is. */
  readonly why: string | null;
}
export interface ManyRow {
  readonly title: string;
  /** Why it differs, where that is known of its place. */
  readonly what: string;
  /** One for each column. */
  readonly cells: readonly { readonly text: string; readonly range: Place | null }[];
}
