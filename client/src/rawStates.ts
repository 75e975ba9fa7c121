import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex } from '@noble/hashes/utils.js';
import type * as vscode from 'vscode';
import type { RawPair } from './rawPair.js';

/** Of each file of raw bytes, what was on the disk when its text was last read or saved. */
export interface RawStates {
  readonly isKnown: (file: vscode.Uri, now: RawPair) => boolean;
  readonly isNow: (file: vscode.Uri, now: RawPair) => Thenable<void>;
}

/** Where the editor keeps what has to be known after it starts again: a text may be unsaved then. */
export type Kept = Pick<vscode.Memento, 'get' | 'update'>;

const KEY = 'rawStates';

/** So many files are remembered, those that were used last. */
const MOST = 200;

export function createRawStates(kept: Kept): RawStates {
  const states = () => kept.get<Readonly<Record<string, string>>>(KEY, {});
  return {
    isKnown: (file, now) => states()[file.toString()] === nameOfState(now),
    isNow: (file, now) => {
      const others = Object.entries(states()).filter(([name]) => name !== file.toString());
      return kept.update(KEY, Object.fromEntries([...others.slice(1 - MOST), [file.toString(), nameOfState(now)]]));
    },
  };
}

/** The same for no two states of a file. */
function nameOfState({ bytes, headers }: RawPair): string {
  return [bytes, headers].map((part) => (part === undefined ? '-' : bytesToHex(sha256(part)))).join(' ');
}
