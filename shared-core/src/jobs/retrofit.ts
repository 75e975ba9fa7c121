import type { JsonSpan } from '../profile/json.js';

/** A retrofit as read from a `*.retrofit.json` file: what is fitted, what the modules are to believe, and the work around it. */
export interface Retrofit {
  readonly title: string | undefined;
  /** What must be fitted and measured before anything is written. */
  readonly before: readonly Check[];
  /** What each module is to be set to. */
  readonly changes: readonly ModuleChange[];
  /** What to do after writing, in order. */
  readonly after: readonly string[];
  /** How to try the function. */
  readonly try: readonly Check[];
  readonly cautions: readonly string[];
}

/** Something to look at or to measure. */
export interface Check {
  readonly text: string;
  /** Unit and limits of what is measured; a check without them is ticked by eye. */
  readonly measure: Measure | undefined;
}

export interface Measure {
  readonly unit: string;
  readonly min: number | undefined;
  readonly max: number | undefined;
}

/** The options of one module, which is known by its profile: a path from the retrofit file, as dumps name theirs. */
export interface ModuleChange {
  readonly profile: string;
  readonly set: readonly OptionChange[];
  /** Where the change stands in the file. */
  readonly source: JsonSpan;
}

/** An option by its id, and its value in words or as a number, as a person wrote it. */
export interface OptionChange {
  readonly option: string;
  readonly value: string;
  readonly source: JsonSpan;
  /** Where the option's id stands. */
  readonly idSource: JsonSpan;
}
