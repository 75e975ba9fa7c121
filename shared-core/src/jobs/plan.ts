import type { Change, Consent } from '../actions/change.js';
import { refuseUnmet, refuseUnneeded, type Stand, type Unmet, unmetAfter } from '../actions/conditions.js';
import { changeByOptions } from '../actions/setOptions.js';
import type { OptionWish } from '../actions/settings.js';
import { listed, type Phrase, type PhrasePart, phrase } from '../base/phrase.js';
import type { Ask, Refused } from '../base/result.js';
import { finish, type Steps } from '../base/steps.js';
import { matches } from '../base/wildcards.js';
import { checkDump } from '../checks/checkDump.js';
import type { LoadedDump } from '../checks/loadedDump.js';
import { inWork, type OtherModules } from '../checks/otherModules.js';
import type { Problem } from '../checks/problem.js';
import { mostUrgent } from '../checks/shownProblems.js';
import type { Dump } from '../model/dump.js';
import { headerValue } from '../model/headers.js';
import { otherIdentity } from '../model/identity.js';
import { readOption, shownValue, wordsOrHex } from '../model/optionReading.js';
import { isSetAside, whySetAside } from '../model/useHeader.js';
import type { Option, Profile } from '../profile/profile.js';
import { EMPTY_PROFILE } from '../profile/readProfile.js';
import { noProfile, wantedIn } from './checkRetrofit.js';
import { moduleTitle } from './moduleTitle.js';
import type { ModuleChange, Retrofit } from './retrofit.js';
import type { UndecidedDump } from './vehicles.js';

/** A dump of the chosen vehicle that names a profile: that of a retrofit which it counts for, as one of a variant does too. */
export type VehicleDump = Omit<LoadedDump, 'backupFile'> & { readonly profileFile: string };

/** The profile that a path in a retrofit names, and its file; no profile where it cannot be read. */
export interface NamedProfile {
  readonly file: string;
  readonly profile: Profile | undefined;
}

/** What would change in one module. */
export interface ModulePlan {
  readonly file: string;
  readonly name: string;
  readonly before: Dump;
  readonly change: Change;
  readonly options: readonly PlannedOption[];
}

/** An option that a plan sets: in words for programs, and as a person is shown them. */
export interface PlannedOption {
  readonly option: Option;
  readonly before: string;
  readonly after: string;
  readonly shown: { readonly before: PhrasePart; readonly after: PhrasePart };
}

/** Why a retrofit cannot be carried out, by the module that is in the way: its dump's name, or the profile's. */
export interface PlanRefusal {
  readonly module: string;
  readonly why: Phrase;
  readonly asks?: Ask;
}

/** A dump that a plan does not go by, and why. */
export interface LeftAside {
  readonly name: string;
  readonly why: Phrase;
}

/** All modules, or none: half a retrofit leaves modules that disagree. */
export type Plan = (PossiblePlan | RefusedPlan) & { readonly aside: readonly LeftAside[] };

export interface PossiblePlan {
  readonly kind: 'planned';
  readonly modules: readonly ModulePlan[];
}

export interface RefusedPlan {
  readonly kind: 'refused';
  readonly refusals: readonly PlanRefusal[];
  /** What people call the modules that the refusals name. */
  readonly titles: ReadonlyMap<string, string>;
}

/**
 * What a retrofit changes in the unsealed dumps of one vehicle, or everything that is in its way. Nothing is written.
 * Dumps of modules that it does not change belong to them: what they need must not be broken. With `undecided` dumps nothing
 * is planned in a module that one of them may be of.
 */
export function planRetrofit(
  retrofit: Pick<Retrofit, 'changes'>,
  profileAt: (path: string) => NamedProfile,
  dumps: readonly VehicleDump[],
  consent: Consent = {},
  undecided: readonly UndecidedDump[] = [],
): Plan {
  return finish(planRetrofitInSteps(retrofit, profileAt, dumps, consent, undecided));
}

/** The same in steps. */
export function* planRetrofitInSteps(
  { changes }: Pick<Retrofit, 'changes'>,
  profileAt: (path: string) => NamedProfile,
  given: readonly VehicleDump[],
  consent: Consent = {},
  undecided: readonly UndecidedDump[] = [],
): Steps<Plan> {
  const marked = given.flatMap(({ name, dump }) => {
    const why = whySetAside(name, dump);
    return why === undefined ? [] : [{ name, why }];
  });
  const dumps = given.filter(({ dump }) => !isSetAside(dump));
  const byProfile = new Map<string, VehicleDump[]>();
  for (const one of dumps) byProfile.set(one.profileFile, [...(byProfile.get(one.profileFile) ?? []), one]);
  const wanted = new Set(changes.map(({ profile }) => profileAt(profile).file));
  // One of a retrofit's profile that cannot be read is in the way as such.
  const unsure = undecided.filter(({ file }) => !dumps.some((one) => one.file === file && wanted.has(one.profileFile)));
  const inTheWay = new Set<UndecidedDump>();
  const results: (Planned | { readonly refusals: readonly PlanRefusal[] })[] = [];
  for (const change of changes) {
    const { file, profile } = profileAt(change.profile);
    const current = inWork(byProfile.get(file) ?? []);
    const rivals = unsure.filter((one) => current.some((own) => mayBeCurrent(one, own, profile)));
    for (const one of rivals) inTheWay.add(one);
    results.push(
      rivals.length === 0
        ? yield* planModule(change, profile, current, consent)
        : { refusals: rivals.map((one) => ({ module: change.profile, why: whyUnsure(one) })) },
    );
  }
  const aside = [
    ...marked,
    ...[...byProfile.values()].flatMap(leftAside),
    ...unsure.filter((one) => !inTheWay.has(one)).map(({ name, why }) => ({ name, why })),
  ];
  const titles = new Map([
    ...changes.flatMap(({ profile: path }) => {
      const title = profileAt(path).profile?.title;
      return title === undefined ? [] : [[path, title] as const];
    }),
    ...dumps.map((one) => [one.name, moduleTitle([one])] as const),
  ]);
  const refusedFor = (refusals: readonly PlanRefusal[]) => ({ kind: 'refused', refusals, titles, aside }) as const;
  const refusals = results.flatMap((result) => ('refusals' in result ? result.refusals : []));
  const modules = results.flatMap((result) => ('refusals' in result ? [] : result));
  if (refusals.length > 0) return refusedFor(refusals);
  for (const { from } of modules) byProfile.delete(from.profileFile);
  const kept = [...byProfile.values()].flatMap(inWork);
  const twice = modules.filter(({ from }, at) => modules.findIndex((one) => one.from.file === from.file) < at);
  if (twice.length > 0) return refusedFor(twice.map(namedTwice));
  const unmet = [
    ...modules.flatMap(({ from, plan }) => unmetIn(from, plan.change.after, plan.options, modules)),
    ...kept.flatMap((from) => unmetIn(from, from.dump, [], modules)),
  ];
  const left = unmet.flatMap((one) => refusalOf(one.module, refuseUnmet([one], consent.despite)));
  if (left.length > 0) return refusedFor(left);
  const all = modules.map(({ plan }) => plan.name).join(', ');
  const unneeded = refusalOf(all, refuseUnneeded(unmet, consent));
  if (unneeded.length > 0) return refusedFor(unneeded);
  return { kind: 'planned', modules: modules.map(({ plan }) => plan), aside };
}

/** The same plan where something else turns out to be in its way. */
export function withRefusals(plan: Plan & PossiblePlan, refusals: readonly PlanRefusal[]): Plan {
  if (refusals.length === 0) return plan;
  const titles = new Map(
    plan.modules.map(({ name, before }) => [name, moduleTitle([{ name, dump: before }])] as const),
  );
  return { kind: 'refused', refusals, titles, aside: plan.aside };
}

function leftAside(dumps: readonly VehicleDump[]): readonly LeftAside[] {
  const current = inWork(dumps);
  const names = listed(current.map(({ name }) => name));
  return dumps
    .filter((one) => !current.includes(one))
    .map(({ name }) => ({
      name,
      why: phrase('It is a reading, as "@taken" in it says; the plan changes {0}.', names),
    }));
}

interface Planned {
  readonly plan: ModulePlan;
  readonly from: VehicleDump;
}

function* planModule(
  change: ModuleChange,
  profile: Profile | undefined,
  dumps: readonly VehicleDump[],
  consent: Consent,
): Steps<Planned | { readonly refusals: readonly PlanRefusal[] }> {
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
    return refuse(change.profile, severalDumps(dumps));
  }
  // A variant says itself what its options are.
  const own = from.profile.kind === 'read' ? from.dump.profile : profile;
  const reasons = [...change.set.flatMap((one) => whyUnknown(own, one, from.dump)), ...whyNotSafe(from, consent)];
  if (reasons.length > 0) return refuse(from.name, ...reasons);
  const wishes = change.set.map(({ option, value }): OptionWish => ({ id: option, to: { written: value } }));
  const result = yield* changeByOptions(from, wishes, consent);
  if (!result.ok) {
    const { why, asks } = result;
    return { refusals: [{ module: from.name, why, ...(asks && { asks }) }] };
  }
  const { file, name, dump: before } = from;
  const { after } = result.value;
  const options = change.set.flatMap(({ option: id }) => {
    const option = own.options.find((one) => one.id === id);
    return option === undefined ? [] : plannedOption(option, before, after);
  });
  return { plan: { file, name, before, change: result.value, options }, from };
}

/** Why nothing goes on with a module of which several dumps may be as it is now. */
export function severalDumps(dumps: readonly { readonly name: string }[]): Phrase {
  return phrase(
    'Several dumps of this vehicle are for this module: {0}. Keep the one to be written and move the others, or say in them by "@taken" when they were read.',
    listed(dumps.map(({ name }) => name)),
  );
}

/** Whether an undecided dump may be the module of a dump as it is now: neither its part nor "@taken" says otherwise. */
function mayBeCurrent({ dump }: UndecidedDump, own: VehicleDump, profile: Profile | undefined): boolean {
  const parts = profile?.appliesTo?.part ?? [];
  const part = headerValue(dump, 'part');
  if (part !== undefined && parts.length > 0 && !parts.some((pattern) => matches(part, pattern))) return false;
  const other = otherIdentity(own.dump, { ...dump, profile: EMPTY_PROFILE })?.[0];
  return other !== 'part' && other !== 'module' && inWork([own, { dump }]).length > 1;
}

function whyUnsure({ name, why }: UndecidedDump): Phrase {
  return phrase(
    '{0} may be another dump of this module. Name the profile of the module in it, move it, or say in it that it is of another module ("@use another-module") or only to compare with ("@use comparison"). {1}',
    name,
    why,
  );
}

function whyUnknown(profile: Profile, one: ModuleChange['set'][number], dump: Dump): readonly Phrase[] {
  const wanted = wantedIn(profile, one, dump);
  return 'why' in wanted ? [wanted.why] : [];
}

function namedTwice({ from }: Planned): PlanRefusal {
  const why = phrase('The retrofit names this module twice, by two paths. Put all its options into one.');
  return { module: from.name, why };
}

/** More reasons than these of one module are a matter for its own list of problems. */
const MOST_REASONS = 5;

/** What must be put right before anything may be changed: the backup first, then the dump itself. */
function whyNotSafe(loaded: VehicleDump, { unconfirmed }: Consent): readonly Phrase[] {
  if (loaded.backup.kind === 'none')
    return [phrase('It has no backup, so there would be no way back. Run "Make a Backup" on it first.')];
  const wrong = checkDump(loaded).filter(
    (problem) => isInTheWay(problem) && !(unconfirmed && problem.code === 'profile-unconfirmed'),
  );
  const more = wrong.length - MOST_REASONS;
  const reasons = mostUrgent(wrong, MOST_REASONS).map(({ row, message }) => phrase('Row {0}: {1}', row + 1, message));
  return more > 0 ? [...reasons, phrase('Problems beyond these: {0}. The dump marks them all.', more)] : reasons;
}

/** Wrong sums come right with the plan, and needs are looked at as planned; a sum that cannot be checked cannot be kept. */
function isInTheWay({ code, severity }: Problem): boolean {
  return severity === 'error' && code !== 'line-sum' && code !== 'total-sum';
}

function plannedOption(option: Option, before: Dump, after: Dump): PlannedOption {
  const [was, now] = [readOption(before, option)?.raw, readOption(after, option)?.raw];
  const words = (raw: bigint | undefined) => (raw === undefined ? '–' : wordsOrHex(option, raw));
  const shown = (raw: bigint | undefined) => (raw === undefined ? '–' : shownValue(option, raw));
  return { option, before: words(was), after: words(now), shown: { before: shown(was), after: shown(now) } };
}

/** A condition of an option of a module that the plan would leave unmet or unseen. */
interface UnmetIn extends Unmet {
  readonly module: string;
}

/** Needs of planned options that are not met, and needs that only the plan breaks. */
function unmetIn(
  from: VehicleDump,
  after: Dump,
  asked: ModulePlan['options'],
  planned: readonly Planned[],
): readonly UnmetIn[] {
  const modules: OtherModules = (path) =>
    from.modules(path).map((other) => {
      if (other.dump === undefined) return other;
      const plan = planned.find((one) => one.plan.file === other.file)?.plan;
      return plan === undefined ? other : { ...other, dump: plan.change.after };
    });
  const stand: Stand = { dump: from.dump, modules: from.modules };
  const ids = asked.map(({ option }) => option.id);
  return unmetAfter(stand, { dump: after, modules }, ids).map((unmet) => ({ ...unmet, module: from.name }));
}

function refusalOf(module: string, refused: Refused | undefined): readonly PlanRefusal[] {
  return refused === undefined ? [] : [{ module, why: refused.why, ...(refused.asks && { asks: refused.asks }) }];
}
