import assert from 'node:assert/strict';
import { readFileSync, writeFileSync } from 'node:fs';
import { after, before, beforeEach } from 'mocha';
import { demoFile } from './demo.js';
import { type Folder, makeFolder } from './folder.js';
import { runCommand } from './inProcess.js';

export const REAR = 'rear-body.cfgdump';
export const FOUND = 'rear-body.as-found.cfgdump';
export const PROFILE = 'rear-body.dump-profile.json';

/** The dump in work of the demo, with every sum right. */
export const RIGHT = demoFile(REAR)
  .replace('00 FF | 88', '00 FF | A8')
  .replace('17: 10 00 FF 00  FF 5C | 75', '17: 10 00 FF 00  FF 3C | 55');

/** Some files of the demo in a folder of their own, anew before each test, and the commands over them, each in this process. */
export function demoBench(names: readonly string[]) {
  let folder: Folder | undefined;
  const here = () => {
    assert.ok(folder, 'the folder is made before the first test');
    return folder;
  };
  before(() => {
    folder = makeFolder();
  });
  after(() => folder?.remove());
  /** These files of the demo, and no others. */
  const layOut = (some: readonly string[]) => {
    here().clear();
    here().write(new Map(some.map((name) => [name, demoFile(name)])));
  };
  beforeEach(() => layOut(names));
  const path = (name: string) => here().of(name);
  const withoutFolder = (text: string) => text.replaceAll(`${here().path}/`, '');
  /** Words that are names of files are those of the folder. */
  const run = (command: string, ...words: readonly string[]) =>
    runCommand([command, ...words.map((word) => (/^[\w./-]+\.\w+$/.test(word) ? path(word) : word))]);
  return {
    path,
    run,
    /** A call with what it says, its status and each file that is another one after it; `shown` is what is kept of its answer. */
    told: async (words: readonly string[], shown = (answer: string) => answer) => {
      const was = here().files();
      const [command = '', ...others] = words;
      const { status, text, notes } = await run(command, ...others);
      const changed = [...here().files()].filter(([name, content]) => was.get(name) !== content).map(([name]) => name);
      const written = (name: string) => withoutFolder(readFileSync(path(name), 'utf8')).trimEnd();
      return [
        `$ countersum ${words.join(' ')}`,
        shown(withoutFolder(text)).trimEnd(),
        `status ${status}`,
        withoutFolder(notes),
        ...changed.map((name) => `${name}:\n${written(name)}`),
        '',
        '',
      ].join('\n');
    },
    layOut,
    withoutFolder,
    files: () => here().files(),
    root: () => here().path,
    read: (name: string) => readFileSync(path(name), 'utf8'),
    write: (name: string, content: string | Uint8Array) => writeFileSync(path(name), content),
    /** Refused with these words, and no file is another one afterwards. */
    refused: async (why: RegExp, command: string, ...words: readonly string[]) => {
      const was = here().files();
      const { status, notes } = await run(command, ...words);
      assert.equal(status, 2, notes);
      assert.match(withoutFolder(notes), why);
      assert.deepEqual(here().files(), was);
    },
  };
}
