import type { ComparedDump } from './comparedDump.js';

/** A dump with its name and, where it is known, the group it belongs to (an index into the list of groups). */
export interface LabelledDump {
  readonly name: string;
  readonly dump: ComparedDump;
  readonly group: number | undefined;
}
