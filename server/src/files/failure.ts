import type { Phrase } from '../../../shared-core/src/base/index.js';
import { reasonOf as reasonOfCode } from '../../../shared-core/src/workspace/index.js';

/** A request that cannot be met: wrong usage, an unreadable file, an impossible repair. Ends the command with status 2. */
export class Failure extends Error {
  constructor(readonly said: Phrase) {
    super(said.pattern);
  }
}

/** Why a request cannot be met; undefined where it was met. */
export function refusalOf(request: () => void): Phrase | undefined {
  try {
    request();
    return undefined;
  } catch (error) {
    if (error instanceof Failure) return error.said;
    throw error;
  }
}

/** What the system calls an error of a file, such as ENOENT; undefined for what is none of the system's. */
export function codeOf(error: unknown): string | undefined {
  return error instanceof Error && 'code' in error && typeof error.code === 'string' ? error.code : undefined;
}

/** Why a call of the system failed, in words. */
export function reasonOf(error: unknown): Phrase {
  return reasonOfCode(codeOf(error) ?? String(error));
}
