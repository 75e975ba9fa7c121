import type { DumpParams } from './common.js';

/** Client to server: copies of a dump and of its backup without what is personal, with their profiles. */
export const SHARE = 'countersum/share';
export interface ShareParams extends DumpParams {
  /** Texts that are masked too, such as a VIN that no dump says. */
  readonly hide?: readonly string[];
}
export interface ShareResult {
  readonly dumps: readonly FileToWrite[];
  readonly profiles: readonly FileToWrite[];
  /** What looks personal and was left, and that no VIN is known: a person may want more to be hidden. */
  readonly doubts: readonly string[];
  /** What of that looks like a VIN, to be offered as what to hide. */
  readonly vins: readonly string[];
  /** Markdown: what was masked, and what was left. */
  readonly page: string;
}

export interface FileToWrite {
  readonly name: string;
  readonly text: string;
  /** The lines of the file beside it that holds its headers; empty where there is none. */
  readonly headers: string;
}
