import type { Dump } from '../../model/dump.js';

/** A dump with its name and, where it is known, the group it belongs to (an index into the list of groups). */
export interface LabelledDump {
  readonly name: string;
  readonly dump: Dump;
  readonly group: number | undefined;
}
