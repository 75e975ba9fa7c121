import { type BackupStatus, backupDump, backupProblems } from '../checks/backup.js';
import { optionProblems } from '../checks/options.js';
import type { OtherModules } from '../checks/otherModules.js';
import { afterWrites, type ByteWrite } from '../dump/byteWrite.js';
import type { Dump } from '../dump/dump.js';
import { readOption, wordsOrHex } from '../dump/optionReading.js';
import type { Option, Profile } from '../profile/profile.js';
import { listed, type Phrase, phrase } from '../words/phrase.js';
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
  readonly backup: BackupStatus;
  readonly modules: OtherModules;
}

/** What is at hand for one change of a retrofit: the profile that it names, and the vehicle's dumps that this profile explains. */
export interface ModuleAtHand {
  readonly profile: Profile | undefined;
  readonly dumps: readonly VehicleDump[];
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

/** What a retrofit changes in the dumps of one vehicle, or everything that is in its way. Nothing is written. */
export function planRetrofit({ changes }: Retrofit, atHand: (profile: string) => ModuleAtHand): Plan {
  const results = changes.map((change) => planModule(change, atHand(change.profile)));
  const refusals = results.flatMap((result) => ('refusals' in result ? result.refusals : []));
  const modules = results.flatMap((result) => ('refusals' in result ? [] : result));
  if (refusals.length > 0) return { kind: 'refused', refusals };
  const unmet = modules.flatMap(({ plan, from }) => unmetNeeds(plan, from, modules));
  if (unmet.length > 0) return { kind: 'refused', refusals: unmet };
  return { kind: 'planned', modules: modules.map(({ plan }) => plan) };
}

interface Planned {
  readonly plan: ModulePlan;
  readonly from: VehicleDump;
}

function planModule(change: ModuleChange, { profile, dumps }: ModuleAtHand): Planned | { refusals: PlanRefusal[] } {
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
  const { settings, problems } = settingsOf(change, profile);
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

function settingsOf({ set }: ModuleChange, profile: Profile): { settings: Setting[]; problems: Phrase[] } {
  const settings: Setting[] = [];
  const problems: Phrase[] = [];
  for (const one of set) {
    const wanted = wantedIn(profile, one);
    if ('why' in wanted) problems.push(wanted.why);
    else settings.push(wanted);
  }
  return { settings, problems };
}

/** What must be put right before anything may be changed: the way back first, then the dump itself. */
function whyNotSafe({ dump, backup }: VehicleDump): Phrase[] {
  if (backup.kind === 'none')
    return [phrase('It has no backup, so there would be no way back. Run "Make a Backup" on it first.')];
  const { troubled, wrongLengths, layout } = dump;
  const lines = troubled.length + wrongLengths.length + layout.missing.length + layout.repeated.length;
  const whole =
    lines === 0 ? [] : [phrase('{0} of its lines are missing, repeated or cannot be read. Right those first.', lines)];
  return [...backupProblems(dump, backup).map(({ message }) => message), ...whole];
}

function wordsIn(dump: Dump, option: Option): string {
  const reading = readOption(dump, option);
  return reading === undefined ? '–' : wordsOrHex(option, reading.raw);
}

/** Needs that the modules as planned, or those that are not planned as they are, do not meet. */
function unmetNeeds({ after, name }: ModulePlan, from: VehicleDump, planned: readonly Planned[]): PlanRefusal[] {
  const afterPlan: OtherModules = (path) =>
    from.modules(path).map((other) => {
      const plan = planned.find((one) => one.plan.file === other.file)?.plan;
      return plan === undefined ? other : { ...other, dump: plan.after };
    });
  const unmet = optionProblems(after, afterPlan).filter(({ code }) => code === 'option-needs');
  return [...unmet.map(({ message }) => message), ...unknownModules(after, from.modules)].map((why) => ({
    module: name,
    why,
  }));
}

/** Needs of chosen options in modules that no dump of the vehicle is of. */
function unknownModules(after: Dump, modules: OtherModules): Phrase[] {
  return after.profile.options.flatMap((option) =>
    option.needs.flatMap(({ profile, option: needed }) => {
      if (profile === undefined || (readOption(after, option)?.raw ?? 0n) === 0n) return [];
      const wanted = { option: option.title, words: wordsIn(after, option) };
      return modules(profile).length > 0
        ? []
        : phrase(
            '{0} "{1}" needs "{2}" of {3}, and no dump of that module of this vehicle is here. Read it too.',
            wanted.option,
            wanted.words,
            needed,
            profile,
          );
    }),
  );
}
