import type { Dump } from '../../model/dump.js';
import { type Misfit, whyNotThisModule } from '../../model/identity.js';
import type { AppliesTo, Confidence, Profile } from '../../profile/profile.js';
import type { ProfileReading } from '../../profile/readProfile.js';

/** What a library knows of one of its profiles without reading it again. */
export interface IndexedProfile {
  readonly file: string;
  /** What people call the file. */
  readonly name: string;
  readonly title: string | undefined;
  readonly appliesTo: AppliesTo | undefined;
  /** The form that its dumps are written in, where it says so. */
  readonly form: string | undefined;
  /** The profiles that it extends, and those that they extend. */
  readonly bases: readonly string[];
  /** How many of its options are how sure; those that say nothing are left out. */
  readonly sure: ReadonlyMap<Confidence, number>;
  readonly options: number;
  /** How many dumps it names that prove it. */
  readonly proofs: number;
  readonly flaw: Profile['flaw'];
}

export function indexedProfile(
  { file, name }: Pick<IndexedProfile, 'file' | 'name'>,
  { profile, chain }: ProfileReading,
): IndexedProfile {
  const sure = new Map<Confidence, number>();
  for (const { confidence } of profile.options)
    if (confidence !== undefined) sure.set(confidence, (sure.get(confidence) ?? 0) + 1);
  return {
    file,
    name,
    title: profile.title,
    appliesTo: profile.appliesTo,
    form: profile.notation?.id,
    bases: chain?.asked ?? [],
    sure,
    options: profile.options.length,
    proofs: profile.samples.length,
    flaw: profile.flaw,
  };
}

/** How a profile of the library stands to the headers of a dump. */
export interface Standing {
  readonly profile: IndexedProfile;
  /** Why it is not for the module of the dump, or cannot be told to be. */
  readonly misfit: Misfit | undefined;
}

/** How each profile stands that says which modules it is for; the others are for nobody who asks by a module. */
export function standingsOf(
  index: readonly IndexedProfile[],
  dump: Pick<Dump, 'rows' | 'headers' | 'profile'>,
): readonly Standing[] {
  return index.flatMap((profile) => {
    const { appliesTo } = profile;
    if (appliesTo === undefined || appliesTo.part.length + appliesTo.software.length === 0) return [];
    return { profile, misfit: whyNotThisModule({ ...dump, profile: { ...dump.profile, appliesTo } }) };
  });
}

/** Variants before their base: a profile that another one extends is left out where that one is there as well. */
export function withoutBases(fitting: readonly IndexedProfile[]): readonly IndexedProfile[] {
  const extended = new Set(fitting.flatMap(({ bases }) => bases));
  return fitting.filter(({ file }) => !extended.has(file));
}
