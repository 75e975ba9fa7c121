import { hasPlaceForHeaders, placeForHeader } from '../../shared-core/src/actions/index.js';
import { done, phrase, type Result, refuse } from '../../shared-core/src/base/index.js';
import { bindWithHeaders, type Dump, headerOf } from '../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../shared-core/src/profile/index.js';
import type { HeaderPlace } from '../../shared-core/src/protocol/learning.js';
import { fileName } from '../../shared-core/src/workspace/index.js';
import { hasChanged } from './feature.js';
import type { Session } from './session.js';

/** A dump by no profile, and the version of the document that it was read from; `null` where it is not open. */
export interface Unbound {
  readonly dump: Dump;
  readonly version: number | null;
}

/** Where a dump is to name its profile; `null` where it names one. */
export function namingOf(unbound: Unbound): HeaderPlace | null {
  const { dump, version } = unbound;
  if (headerOf(dump, 'profile') !== undefined) return null;
  return hasPlaceForHeaders(dump) ? { ...placeForHeader(dump, 'profile'), version } : namingBeside(unbound);
}

/** The same in the file of its headers. */
export function namingBeside({ version }: Unbound): HeaderPlace {
  return { line: 0, column: 0, before: '@profile ', after: '\n', version, isBeside: true };
}

export async function readUnbound(session: Session, uri: string): Promise<Result<Unbound>> {
  const version = session.documents.get(uri)?.version ?? null;
  const text = await session.files.readText(uri);
  if (!text.ok) return refuse(phrase('{0} cannot be read: {1}', fileName(uri), text.why));
  // Read while it moved on, it may be of either version: the client asks again.
  if ((session.documents.get(uri)?.version ?? null) !== version) throw hasChanged();
  const open = session.documents.get(uri);
  // What a person has the editor take a text for, its name need not promise.
  const form = open?.kind === 'dump' ? open.shown : undefined;
  return done({ dump: bindWithHeaders(fileName(uri), text.value, EMPTY_PROFILE, form), version });
}
