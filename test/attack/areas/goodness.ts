import { makeFolder } from '../../support/folder.js';
import { runCommand } from '../../support/inProcess.js';
import { bytesByKey, sumsOf } from '../../support/oracle/contents.js';
import { guardedBits } from '../../support/oracle/harm.js';
import { readText } from '../../support/oracle/texts.js';
import { trustCase } from '../../support/trustCase.js';
import { type Area, failureOf } from '../area.js';

/** What `check`, `verify` and `compare` call good or the same is: all sums right, all places there, all bytes alike. */
export const goodness: Area = {
  name: 'goodness',
  share: 1_200,
  open: () => {
    const folder = makeFolder();
    return {
      run: async (seed) => {
        const { files, member, isFlawed, says } = trustCase(seed);
        const { workFile, backupFile, profile, form } = member;
        folder.clear();
        folder.write(files);
        const said: string[] = [];
        const work = readText(files.get(workFile) ?? '', form);
        const bytes = bytesByKey(work, profile);
        if ((await runCommand(['check', folder.of(workFile)])).status === 0) {
          if (isFlawed) said.push('check is good by a profile that has a problem');
          for (const { name, state } of sumsOf(work, profile))
            if (state !== 'right') said.push(`check is good, and ${name} is ${state}`);
          for (const { key } of guardedBits(profile))
            if (bytes.get(key)?.length !== 1) said.push(`check is good, and ${key} is not there once`);
        }
        const backup = files.get(backupFile);
        if (backup === undefined) return failureOf(said);
        const there = bytesByKey(readText(backup, form), profile);
        const alike = (skip: ReadonlySet<string>) =>
          [...new Set([...bytes.keys(), ...there.keys()])].every(
            (key) => skip.has(key) || bytes.get(key)?.join() === there.get(key)?.join(),
          );
        if (
          (await runCommand(['compare', folder.of(backupFile), folder.of(workFile)])).status === 0 &&
          !alike(new Set())
        )
          said.push('compare finds the same, and bytes differ');
        const passing = new Set(guardedBits(profile).flatMap(({ key, kind }) => (kind === 'volatile' ? key : [])));
        const sums = new Set([...bytes.keys()].filter((key) => isBesideVolatile(key, passing)));
        if (
          (await runCommand(['verify', folder.of(backupFile), folder.of(workFile)])).status === 0 &&
          !alike(new Set([...passing, ...sums]))
        )
          said.push('verify finds what was planned, and bytes differ');
        return failureOf(said.length === 0 ? [] : [says, ...said]);
      },
      close: folder.remove,
    };
  },
};

/** Of a line in which a byte changes by itself the sum does too, and so do stored sums over it: those are not judged here. */
function isBesideVolatile(key: string, passing: ReadonlySet<string>): boolean {
  const line = key.split('/')[0];
  return [...passing].some((other) => other.split('/')[0] === line);
}
