import { valueIn } from '../../shared-core/src/base/index.js';
import type { Workspace } from '../../shared-core/src/workspace/index.js';
import type { Session } from './session.js';

/** The profiles that a text extends, as they are now; undefined where it extends none, or is in no file. */
export async function basesOf(
  { files }: Pick<Session, 'files'>,
  uri: string | undefined,
  text: string,
): ReturnType<Workspace['basesOf']> {
  return uri === undefined ? undefined : files.basesOf(uri, text);
}

/** The files that a profile extends, also those that are missing. */
export async function filesUnder({ files }: Pick<Session, 'files'>, profile: string): Promise<readonly string[]> {
  return valueIn(await files.readProfile(profile))?.chain?.asked ?? [];
}
