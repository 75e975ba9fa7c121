import { type Dice, diceOf } from './dice.js';
import {
  FAMILY,
  FAMILY_MEMBERS,
  FAMILY_RETROFIT,
  type FamilyMember,
  familyFiles,
  unsealedBackup,
  unsoundBackups,
} from './family.js';
import { rawOf } from './oracle/build.js';
import { bytesByKey } from './oracle/contents.js';
import type { OptionJson } from './oracle/profileJson.js';
import { readText } from './oracle/texts.js';
import { worn } from './person.js';
import { faultsOf, faultyProfile } from './profileFaults.js';
import { datesOf, randomModule } from './randomModule.js';

/** A vehicle folder as a person may have it. */
export interface TrustCase {
  readonly dice: Dice;
  /** The module that commands are given to. */
  readonly member: FamilyMember;
  readonly files: ReadonlyMap<string, string>;
  /** Whether the profile has a problem, so that nothing at all may be written by it. */
  readonly isFlawed: boolean;
  readonly retrofitFile: string;
  /** What was done to the files, for whoever reads of a failure. */
  readonly says: string;
}

export function trustCase(seed: number): TrustCase {
  const dice = diceOf(seed);
  const isOfFamily = dice.once(4);
  const member = isOfFamily ? dice.pick(FAMILY_MEMBERS) : randomModule(seed);
  const files = new Map(familyFiles(isOfFamily ? [member, FAMILY.body, FAMILY.cluster] : [member]));
  const says: string[] = [isOfFamily ? member.name : `random module ${seed}`];
  const times = dice.pick([0, 0, 0, 0, 1, 1, 2, 3]);
  if (times > 0) {
    files.set(member.workFile, worn(dice, member.work, member.form, times));
    says.push(`worn ${times} times`);
  }
  says.push(wearBackup(dice, member, files, isOfFamily));
  const isFlawed = dice.once(6);
  if (isFlawed) {
    const fault = dice.pick(faultsOf(member.profile));
    files.set(member.profileFile, faultyProfile(dice, member.profile, fault));
    says.push(`${fault.kind} in the profile: ${fault.path.join(' ')}`);
  }
  const retrofitFile = 'any.retrofit.json';
  const retrofit = isOfFamily && dice.once(2) ? FAMILY_RETROFIT : randomRetrofit(dice, member);
  files.set(retrofitFile, JSON.stringify(retrofit));
  return { dice, member, files, isFlawed, retrofitFile, says: says.filter(Boolean).join(', ') };
}

/** What became of the backup; empty where it is as it was made. */
function wearBackup(dice: Dice, member: FamilyMember, files: Map<string, string>, isOfFamily: boolean): string {
  const { backup, backupFile, workFile, form } = member;
  const work = files.get(workFile) ?? '';
  switch (dice.int(0, 11)) {
    case 0:
      files.set(backupFile, unsealedBackup(member));
      return 'unsealed backup';
    case 1: {
      if (!isOfFamily) return '';
      const { fault, text } = dice.pick(unsoundBackups(member));
      files.set(backupFile, text);
      return `backup with ${fault}`;
    }
    case 2:
      files.set(backupFile, worn(dice, backup, form, 1));
      return 'backup worn after it was sealed';
    case 3:
      files.set(backupFile, backup.replace(/@part .*/, '@part XX-1'));
      return 'backup of another part';
    case 4:
      files.delete(backupFile);
      return 'backup lost';
    case 5:
      files.set(workFile, work.replace(/^.*@backup .*\n/m, ''));
      return 'no backup named';
    default:
      return '';
  }
}

export function randomRetrofit(dice: Dice, { profile, profileFile }: FamilyMember): object {
  const settings = dice
    .some(profile.options ?? [], dice.int(1, 2))
    .map((option) => [option.id, wishFor(dice, option).written]);
  return { format: 1, title: 'Any', changes: [{ profile: profileFile, set: Object.fromEntries(settings) }] };
}

/** What a person asks of an option: as it is written, and the bits that it means. */
export interface Wish {
  readonly option: OptionJson;
  readonly written: string;
  /** Undefined where that is not for the oracle to say. */
  readonly raw: number | undefined;
}

export function wishFor(dice: Dice, option: OptionJson): Wish {
  const { values, flags, number } = option;
  if (values !== undefined) {
    const [value = '0', words = ''] = dice.pick(Object.entries(values));
    return { option, written: dice.once(3) ? value : words, raw: Number(value) };
  }
  if (flags !== undefined) return { option, written: dice.pick([...Object.values(flags), '–']), raw: undefined };
  if (option.date !== undefined) {
    const [raw, written] = dice.pick(datesOf(option));
    return { option, written, raw: Number(raw) };
  }
  if (number === undefined) return { option, written: dice.pick(['A', 'AB', 'ab c']), raw: undefined };
  if (option.special !== undefined && dice.once(3)) return { option, written: 'not set', raw: 255 };
  if (number.coding === 'bcd') {
    const written = dice.pick(['0', '1', '25', '99']);
    return { option, written, raw: Number(`0x${written}`) };
  }
  const raw = dice.pick([0, 1, 2, 3, 50, 200]);
  const value = raw * (number.scale ?? 1) + (number.offset ?? 0);
  return { option, written: String(value), raw };
}

/** What was found in the module, as a wish; undefined for flags and texts. */
export function wishAsFound({ member }: TrustCase, option: OptionJson): Wish | undefined {
  const { profile, form, backup } = member;
  const raw = rawOf(
    new Map([...bytesByKey(readText(backup, form), profile)].map(([key, [byte = 0]]) => [key, byte])),
    profile,
    option,
  );
  const { values, number } = option;
  if (values !== undefined) return { option, written: String(raw), raw };
  if (number === undefined || number.signed === true || number.coding === 'bcd') return undefined;
  return { option, written: String(raw * (number.scale ?? 1) + (number.offset ?? 0)), raw };
}
