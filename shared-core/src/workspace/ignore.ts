/** What a `.gitignore` says of the files and folders below its own folder. */
export interface IgnoreRules {
  /** Path of the folder that they are for, as its parts from the root. */
  readonly folder: readonly string[];
  readonly rules: readonly Rule[];
}

interface Rule {
  /** Patterns of the parts of a path; `**` is any number of them. */
  readonly parts: readonly string[];
  /** The pattern is for folders only. */
  readonly folders: boolean;
  /** What earlier rules ignore is taken up again. */
  readonly again: boolean;
}

/**
 * Reads a `.gitignore` as far as folders of dumps need it: `*`, `?`, `**`, a slash that ties a pattern to the folder, a
 * slash at the end for folders, `!` and comments. A pattern with classes or escapes is passed over: what is not ignored
 * is checked, which does no harm.
 */
export function readIgnoreRules(folder: readonly string[], text: string): IgnoreRules {
  const rules = text.split(/\r?\n/).flatMap((line): Rule | readonly [] => {
    const written = line.trimEnd();
    if (written === '' || /^#|[[\\]/.test(written)) return [];
    const again = written.startsWith('!');
    const pattern = again ? written.slice(1) : written;
    const parts = pattern.split('/').filter((part) => part !== '');
    if (parts.length === 0) return [];
    const isTied = pattern.slice(0, -1).includes('/');
    return { parts: isTied ? parts : ['**', ...parts], folders: pattern.endsWith('/'), again };
  });
  return { folder, rules };
}

/** Whether version control ignores a file or folder; the rules of outer folders come first, and the last that fits counts. */
export function isIgnored(ignores: readonly IgnoreRules[], path: readonly string[], isFolder: boolean): boolean {
  let ignored = false;
  for (const { folder, rules } of ignores) {
    const within = path.slice(folder.length);
    for (const { parts, folders, again } of rules)
      if ((isFolder || !folders) && fits(parts, within, isAnyPart, fitsPart)) ignored = !again;
  }
  return ignored;
}

const isAnyPart = (part: string) => part === '**';
const fitsPart = (part: string, name: string) =>
  fits(
    [...part.replace(/\*+/g, '*')],
    [...name],
    (sign) => sign === '*',
    (sign, one) => sign === '?' || sign === one,
  );

/** Whether items fit a pattern in which some signs stand for any number of items. Only the last such sign is gone back to, so that no pattern takes long. */
function fits(
  pattern: readonly string[],
  items: readonly string[],
  isAny: (sign: string) => boolean,
  isOne: (sign: string, item: string) => boolean,
): boolean {
  let [at, to, any, from] = [0, 0, -1, 0];
  while (at < items.length) {
    const [sign, item] = [pattern[to], items[at] as string];
    if (sign !== undefined && isAny(sign)) [any, from, to] = [to, at, to + 1];
    else if (sign !== undefined && isOne(sign, item)) [at, to] = [at + 1, to + 1];
    else if (any >= 0) [from, at, to] = [from + 1, from + 1, any + 1];
    else return false;
  }
  while (to < pattern.length && isAny(pattern[to] as string)) to++;
  return to === pattern.length;
}
