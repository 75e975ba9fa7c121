import type { Phrase } from '../../../shared-core/src/index.js';

/** A request that cannot be met: wrong usage, an unreadable file, an impossible repair. Ends the command with status 2. */
export class Failure extends Error {
  constructor(readonly said: Phrase) {
    super(said.pattern);
  }
}
