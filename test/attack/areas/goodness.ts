import { makeFolder } from '../../support/folder.js';
import { runCommand } from '../../support/inProcess.js';
import { bytesByKey, coveredBy, placeOfTotal, sumsOf } from '../../support/oracle/contents.js';
import { guardedBits } from '../../support/oracle/harm.js';
import {
  type ByteKey,
  dataBytesOf,
  labelsOf,
  lineKey,
  type ProfileJson,
  sumBytesOf,
  type TotalJson,
} from '../../support/oracle/profileJson.js';
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
        const passing = passingKeys(profile);
        if ((await runCommand(['verify', folder.of(backupFile), folder.of(workFile)])).status === 0 && !alike(passing))
          said.push('verify finds what was planned, and bytes differ');
        return failureOf(said.length === 0 ? [] : [says, ...said]);
      },
      close: folder.remove,
    };
  },
};

/** The bytes that a module may change by itself: the volatile ones and the sums over them. */
function passingKeys(profile: ProfileJson): ReadonlySet<ByteKey> {
  const passing = new Set(guardedBits(profile).flatMap(({ key, kind }) => (kind === 'volatile' ? key : [])));
  const sums = [...lineSumPlaces(profile), ...(profile.totals ?? []).map((total) => placeOfSum(profile, total))];
  for (let before = -1; before < passing.size; ) {
    before = passing.size;
    for (const { over, stored } of sums)
      if (over.some((key) => passing.has(key))) for (const key of stored) passing.add(key);
  }
  return passing;
}

interface SumPlaces {
  readonly over: readonly ByteKey[];
  readonly stored: readonly ByteKey[];
}

function lineSumPlaces(profile: ProfileJson): readonly SumPlaces[] {
  if (profile.lineSum === undefined) return [];
  return labelsOf(profile).map((label) => {
    const data = dataBytesOf(profile, label);
    const keys = Array.from({ length: data + sumBytesOf(profile, label) }, (_, i) => lineKey(label, i + 1));
    return { over: keys.slice(0, data), stored: keys.slice(data) };
  });
}

function placeOfSum(profile: ProfileJson, total: TotalJson): SumPlaces {
  return { over: coveredBy(profile, total), stored: placeOfTotal(profile, total) ?? [] };
}
