import { listed, type Phrase, phrase, say } from '../base/phrase.js';
import { type BackupStatus, backupDump } from '../checks/backup.js';
import { checkDump } from '../checks/checkDump.js';
import type { ProfileStatus } from '../checks/loadedDump.js';
import { conditionProblems } from '../checks/options.js';
import { inWork, type OtherModules } from '../checks/otherModules.js';
import type { Problem } from '../checks/problem.js';
import { afterWrites, type ByteWrite } from '../model/byteWrite.js';
import type { Dump } from '../model/dump.js';
import { readOption, wordsOrHex } from '../model/optionReading.js';
import type { Option, Profile } from '../profile/profile.js';
import { noProfile, wantedIn } from './checkRetrofit.js';
import type { ModuleChange, Retrofit } from './retrofit.js';
import { type Setting, setOptions } from './setOptions.js';

/** A dump of the chosen vehicle with all that explains it. */
export interface VehicleDump {
  /** Where it lies: whatever whoever asks calls files by. */
  readonly file: string;
  /** Its name for people. */
  readonly name: string;
  readonly dump: Dump;
  /** Where its profile lies. */
  readonly profileFile: string;
  readonly profile: ProfileStatus;
  readonly backup: BackupStatus;
  readonly modules: OtherModules;
}

/** The profile that a path in a retrofit names, and where it lies; no profile where it cannot be read. */
export interface NamedProfile {
  readonly file: string;
  readonly profile: Profile | undefined;
}

/** What would change in one module. */
export interface ModulePlan {
  readonly file: string;
  readonly name: string;
  readonly before: Dump;
  readonly after: Dump;
  readonly writes: readonly ByteWrite[];
  readonly options: readonly { readonly option: Option; readonly before: string; readonly after: string }[];
}

/** Why a retrofit cannot be carried out, by the module that is in the way: its dump's name, or the profile's. */
export interface PlanRefusal {
  readonly module: string;
  readonly why: Phrase;
}

/** All modules, or none: half a retrofit leaves modules that disagree. */
export type Plan =
  | { readonly kind: 'planned'; readonly modules: readonly ModulePlan[] }
  | { readonly kind: 'refused'; readonly refusals: readonly PlanRefusal[] };

/**
 * What a retrofit changes in the unsealed dumps of one vehicle, or everything that is in its way. Nothing is written.
 * Dumps of modules that it does not change belong to them: what they need must not be broken.
 */
export function planRetrofit(
  { changes }: Retrofit,
  profileAt: (path: string) => NamedProfile,
  dumps: readonly VehicleDump[],
): Plan {
  const byProfile = new Map<string, VehicleDump[]>();
  for (const one of dumps) byProfile.set(one.profileFile, [...(byProfile.get(one.profileFile) ?? []), one]);
  const results = changes.map((change) => {
    const { file, profile } = profileAt(change.profile);
    return planModule(change, profile, inWork(byProfile.get(file) ?? []));
  });
  const refusals = results.flatMap((result) => ('refusals' in result ? result.refusals : []));
  const modules = results.flatMap((result) => ('refusals' in result ? [] : result));
  if (refusals.length > 0) return { kind: 'refused', refusals };
  for (const { from } of modules) byProfile.delete(from.profileFile);
  const kept = [...byProfile.values()].flatMap(inWork).map((from): Stand => ({ from, after: from.dump, options: [] }));
  const twice = modules.filter(({ from }, at) => modules.findIndex((one) => one.from.file === from.file) < at);
  if (twice.length > 0) return { kind: 'refused', refusals: twice.map(namedTwice) };
  const unmet = [...modules.map(standOf), ...kept].flatMap((stand) => unmetNeeds(stand, modules));
  if (unmet.length > 0) return { kind: 'refused', refusals: unmet };
  return { kind: 'planned', modules: modules.map(({ plan }) => plan) };
}

interface Planned {
  readonly plan: ModulePlan;
  readonly from: VehicleDump;
}

function planModule(
  change: ModuleChange,
  profile: Profile | undefined,
  dumps: readonly VehicleDump[],
): Planned | { readonly refusals: readonly PlanRefusal[] } {
  const refuse = (module: string, ...reasons: Phrase[]) => ({ refusals: reasons.map((why) => ({ module, why })) });
  if (profile === undefined) return refuse(change.profile, noProfile(change));
  const [from, ...more] = dumps;
  if (from === undefined) {
    return refuse(
      change.profile,
      phrase(
        'No dump of this vehicle belongs to this profile. Read the module, save it here with "@profile {0}" and the vehicle\'s "@vin" or "@vehicle".',
        change.profile,
      ),
    );
  }
  if (more.length > 0) {
    const names = listed(dumps.map(({ name }) => name));
    return refuse(
      change.profile,
      phrase(
        'Several dumps of this vehicle claim to be this module: {0}. Keep the one to be written; move the others.',
        names,
      ),
    );
  }
  const { settings, problems } = settingsOf(change, profile, from.dump);
  const reasons = [...problems, ...whyNotSafe(from)];
  if (reasons.length > 0) return refuse(from.name, ...reasons);
  const repair = setOptions(from.dump, settings, { totals: 'keep', backup: backupDump(from.dump, from.backup) });
  if (repair.kind === 'refused') return refuse(from.name, repair.why);
  const after = afterWrites(from.dump, repair.writes);
  const options = settings.map(({ option }) => ({
    option,
    before: wordsIn(from.dump, option),
    after: wordsIn(after, option),
  }));
  const { file, name, dump: before } = from;
  return { plan: { file, name, before, after, writes: repair.writes, options }, from };
}

function namedTwice({ from }: Planned): PlanRefusal {
  const why = phrase('The retrofit names this module twice, by two paths. Put all its options into one.');
  return { module: from.name, why };
}

function settingsOf({ set }: ModuleChange, profile: Profile, dump: Dump): { settings: Setting[]; problems: Phrase[] } {
  const settings: Setting[] = [];
  const problems: Phrase[] = [];
  for (const one of set) {
    const wanted = wantedIn(profile, one, dump);
    if ('why' in wanted) problems.push(wanted.why);
    else settings.push(wanted);
  }
  return { settings, problems };
}

/** More reasons than these of one module are a matter for its own list of problems. */
const MOST_REASONS = 5;

/** What must be put right before anything may be changed: the way back first, then the dump itself. */
function whyNotSafe({ dump, profile, backup, modules }: VehicleDump): readonly Phrase[] {
  if (backup.kind === 'none')
    return [phrase('It has no backup, so there would be no way back. Run "Make a Backup" on it first.')];
  const wrong = checkDump({ dump, profile, backup, modules }).filter(standsInTheWay);
  const more = wrong.length - MOST_REASONS;
  const reasons = wrong.slice(0, MOST_REASONS).map(({ row, message }) => phrase('Row {0}: {1}', row + 1, message));
  return more > 0 ? [...reasons, phrase('Problems beyond these: {0}. The dump marks them all.', more)] : reasons;
}

/** Wrong sums come right with the plan, and needs are looked at as planned; a sum that cannot be checked cannot be kept. */
function standsInTheWay({ code, severity }: Problem): boolean {
  return severity === 'error' && code !== 'line-sum' && code !== 'total-sum';
}

function wordsIn(dump: Dump, option: Option): string {
  const reading = readOption(dump, option);
  return reading === undefined ? '–' : wordsOrHex(option, reading.raw);
}

/** A module as it will be, and the options that the plan is about. */
interface Stand {
  readonly from: VehicleDump;
  readonly after: Dump;
  readonly options: readonly Option[];
}

function standOf({ plan, from }: Planned): Stand {
  return { from, after: plan.after, options: plan.options.map(({ option }) => option) };
}

/** Needs of planned options that are not met, and needs that only the plan breaks. */
function unmetNeeds({ from, after, options }: Stand, planned: readonly Planned[]): readonly PlanRefusal[] {
  const afterPlan: OtherModules = (path) =>
    from.modules(path).map((other) => {
      const plan = planned.find((one) => one.plan.file === other.file)?.plan;
      return plan === undefined ? other : { ...other, dump: plan.after };
    });
  const asked = new Set(options.map(({ id }) => id));
  const reasons = after.profile.options.flatMap((option) => {
    const now = conditionProblems(after, option, afterPlan).map(({ message }) => message);
    if (asked.has(option.id)) return [...now, ...unknownModules(after, option, from.modules)];
    const before = new Set(conditionProblems(from.dump, option, from.modules).map(({ message }) => say(message)));
    return now.filter((message) => !before.has(say(message)));
  });
  return reasons.map((why) => ({ module: from.name, why }));
}

/** Needs of a chosen option in modules that no dump of the vehicle is of. */
function unknownModules(after: Dump, option: Option, modules: OtherModules): readonly Phrase[] {
  if ((readOption(after, option)?.raw ?? 0n) === 0n) return [];
  return option.needs.flatMap(({ profile, option: needed }) =>
    profile === undefined || modules(profile).length > 0
      ? []
      : phrase(
          '{0} "{1}" needs "{2}" of {3}, and no dump of that module of this vehicle is here. Read it too.',
          option.title,
          wordsIn(after, option),
          needed,
          profile,
        ),
  );
}
