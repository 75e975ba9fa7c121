import type { DumpParams } from './common.js';

/** Client to server: copies of a dump and of its backup without what is personal, with their profiles. */
export const SHARE = 'countersum/share';
export type ShareParams = DumpParams;
export interface ShareResult {
  readonly dumps: readonly FileToWrite[];
  readonly profiles: readonly FileToWrite[];
  /** Markdown: what was masked, and what was left. */
  readonly page: string;
}

export interface FileToWrite {
  readonly name: string;
  readonly text: string;
}
