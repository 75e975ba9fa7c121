import {
  existsSync,
  lstatSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';

/** A folder of its own on the disk, in memory where the system offers that, as every write is flushed. */
export interface Folder {
  readonly path: string;
  readonly of: (name: string) => string;
  readonly write: (files: ReadonlyMap<string, string>) => void;
  /** All files below, by their names, hidden ones included; what is no regular file is named as what it is. */
  readonly files: () => ReadonlyMap<string, string>;
  readonly clear: () => void;
  readonly remove: () => void;
}

export function makeFolder(): Folder {
  const memory = join('/dev', 'shm');
  const path = mkdtempSync(join(existsSync(memory) ? memory : tmpdir(), 'countersum-'));
  const of = (name: string) => join(path, name);
  return {
    path,
    of,
    write: (files) => {
      for (const [name, text] of files) {
        mkdirSync(dirname(of(name)), { recursive: true });
        writeFileSync(of(name), text);
      }
    },
    files: () => filesOf(path),
    clear: () => {
      for (const name of readdirSync(path)) rmSync(of(name), { recursive: true, force: true });
    },
    remove: () => rmSync(path, { recursive: true, force: true }),
  };
}

function filesOf(path: string, under = ''): ReadonlyMap<string, string> {
  const files = new Map<string, string>();
  for (const name of readdirSync(path).sort()) {
    const file = join(path, name);
    const stat = lstatSync(file);
    if (stat.isDirectory()) for (const [inner, text] of filesOf(file, `${under}${name}/`)) files.set(inner, text);
    else files.set(under + name, stat.isFile() ? readFileSync(file, 'utf8') : 'no regular file');
  }
  return files;
}
