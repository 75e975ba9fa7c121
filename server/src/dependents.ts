import type { Analysis, Session } from './session.js';

/** A dump with the other modules of its vehicle that need something of it: what an option is set in, by every way. */
export async function withDependents({ files }: Pick<Session, 'files'>, explained: Analysis): Promise<Analysis> {
  return { ...explained, dependents: await files.dependentsOf(explained) };
}
