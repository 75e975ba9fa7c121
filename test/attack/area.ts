/** Something that is attacked: each case is made of a number alone, so that it can be made again. */
export interface Area {
  readonly name: string;
  /** How many of a hundred thousand cases of a full run are of this area. */
  readonly share: number;
  /** Made once for each process that runs cases. */
  readonly open: () => Attack;
}

export interface Attack {
  /** What went wrong in a case; undefined where nothing did. Whatever it throws went wrong too. */
  readonly run: (seed: number) => Promise<string | undefined>;
  readonly close?: () => void;
}

/** A list of what went wrong as one text; undefined for none. */
export function failureOf(said: readonly string[]): string | undefined {
  return said.length === 0 ? undefined : said.join('\n    ');
}
