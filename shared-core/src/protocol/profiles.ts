import type { Confidence } from '../profile/profile.js';

/** Client to server: the profiles that are at hand, of the open folders, the person's own, and those around a dump. */
export const LIST_PROFILES = 'countersum/listProfiles';
export interface ListProfilesParams {
  /** The dump that the person is in; `null` where there is none. */
  readonly around: string | null;
}
export interface ListProfilesResult {
  readonly profiles: readonly ProfileEntry[];
  /** Why some folders could not be looked through. */
  readonly unlisted: readonly string[];
  /** Whether there is any folder to look in. */
  readonly hasFolder: boolean;
}
export interface ProfileEntry {
  readonly uri: string;
  readonly name: string;
  readonly title: string | null;
  readonly part: readonly string[];
  readonly software: readonly string[];
  /** The profiles that it extends, by the names of their files. */
  readonly bases: readonly string[];
  readonly options: readonly {
    readonly title: string;
    readonly confidence: Confidence | null;
    /** How many times the profile says that it was seen on a module. */
    readonly seen: number;
    /** Its id, its group, and the words for its values. */
    readonly words: string;
    readonly at: PlaceInProfile;
  }[];
  /** How many dumps it names that prove it. */
  readonly samples: number;
  readonly problems: readonly { readonly says: string; readonly at: PlaceInProfile }[];
}
/** A place by characters from the start of a file. */
export interface PlaceInProfile {
  readonly uri: string;
  readonly start: number;
}

/** Client to server: whether a profile holds against the samples that it names. */
export const TEST_SAMPLES = 'countersum/testSamples';
export interface TestSamplesResult {
  readonly says: readonly string[];
}
