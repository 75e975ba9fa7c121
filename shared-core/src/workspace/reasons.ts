import { type Phrase, phrase } from '../base/phrase.js';
import { type Refused, refuse } from '../base/result.js';

/** Why a file cannot be read, by the names that systems and editors give to what went wrong. */
export function reasonOf(code: string): Phrase {
  switch (code) {
    case 'ENOENT':
    case 'ENOTDIR':
    case 'FileNotFound':
    case 'EntryNotFound':
      return MISSING;
    case 'EACCES':
    case 'EPERM':
    case 'NoPermissions':
      return phrase('not allowed');
    case 'EISDIR':
    case 'FileIsADirectory':
      return phrase('it is a folder');
    case 'FileNotADirectory':
      return phrase('it is no folder');
    case 'ELOOP':
      return phrase('its links lead in a circle');
    case 'ENAMETOOLONG':
      return phrase('its name is too long');
    case 'EMFILE':
    case 'ENFILE':
      return phrase('too many files are open');
    case 'ENOSPC':
    case 'EDQUOT':
      return phrase('no space is left');
    case 'EIO':
      return phrase('the disk reports an error');
    case 'EBUSY':
    case 'ETXTBSY':
      return phrase('it is in use');
    case 'EROFS':
      return phrase('read-only disk');
    default:
      return phrase('{0}', code);
  }
}

const MISSING = phrase('no such file');

/** Whether a file cannot be read because there is none. */
export function isMissing({ pattern }: Phrase): boolean {
  return pattern === MISSING.pattern;
}

export const NOT_REGULAR = phrase('it is no regular file');
export const CHANGED = phrase('it was changed while it was read');

export function tooLarge(most: number): Phrase {
  return phrase('it is larger than {0} MB', Math.round(most / (1024 * 1024)));
}

export function tooWrong(most: number): Phrase {
  return phrase(
    'more than {0} of its rows cannot be read or have a wrong sum of their own, as in a file that is damaged or written in another form; read it from the module again',
    most,
  );
}

/** The refusal of a host as a sentence about the file. */
export function unreadable(name: string, { why }: Refused): Refused {
  return refuse(phrase('{0} cannot be read: {1}', name, why));
}
