import { listed, type Phrase, phrase } from '../../../shared-core/src/index.js';

/** A request that cannot be met: wrong usage, an unreadable file, an impossible repair. Ends the command with status 2. */
export class Failure extends Error {
  constructor(readonly said: Phrase) {
    super(said.pattern);
  }
}

/** What the system calls an error of a file, such as ENOENT; undefined for what is none of the system's. */
export function codeOf(error: unknown): string | undefined {
  return error instanceof Error && 'code' in error && typeof error.code === 'string' ? error.code : undefined;
}

/** Why a file cannot be read or written, in words. */
export function reasonOf(error: unknown): Phrase {
  const code = codeOf(error);
  switch (code) {
    case 'ENOENT':
      return phrase('no such file');
    case 'EACCES':
    case 'EPERM':
      return phrase('not allowed');
    case 'EISDIR':
      return phrase('it is a folder');
    case 'ENOTDIR':
      return phrase('a part of its path is no folder');
    case 'EROFS':
      return phrase('the disk is read-only');
    case 'ENOSPC':
    case 'EDQUOT':
      return phrase('no space is left');
    case 'EIO':
      return phrase('the disk reports an error');
    case 'ELOOP':
      return phrase('links lead in a circle');
    case 'ENAMETOOLONG':
      return phrase('its name is too long');
    case 'EBUSY':
    case 'ETXTBSY':
      return phrase('it is in use');
    case 'ERR_STRING_TOO_LONG':
    case 'ERR_FS_FILE_TOO_LARGE':
      return phrase('it is too large');
    default:
      return listed([code ?? String(error)]);
  }
}
