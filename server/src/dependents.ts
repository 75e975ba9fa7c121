import { evidenceOf } from './evidence.js';
import type { Analysis, Session } from './session.js';

/** A dump with all that a change of it is judged by: what it is evidence of, and the other modules of its vehicle that need something of it. */
export async function withDependents(session: Session, explained: Analysis): Promise<Analysis> {
  return { ...(await withEvidence(session, explained)), dependents: await session.files.dependentsOf(explained) };
}

/** A dump with whether it stays as it was read back. */
export async function withEvidence(session: Session, explained: Analysis): Promise<Analysis> {
  return { ...explained, isReadBack: (await evidenceOf(session, explained)) === 'readBack' };
}
