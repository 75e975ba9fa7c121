import { type Phrase, phrase } from '../base/phrase.js';
import { proveSample, type SampleProof } from '../jobs/library/proveSample.js';
import type { Profile } from '../profile/profile.js';
import { resolveUri } from './uri.js';
import type { Workspace } from './workspace.js';

/** What one sample shows, and its path as the profile names it. */
export interface ProvedSample extends SampleProof {
  readonly dump: string;
}

/** Holds a profile against each of its samples; one that cannot be read is a fault. */
export async function proveBySamples(
  file: string,
  { samples }: Pick<Profile, 'samples'>,
  { load }: Pick<Workspace, 'load'>,
): Promise<readonly ProvedSample[]> {
  const proved: ProvedSample[] = [];
  for (const sample of samples) {
    const { dump } = sample;
    const loaded = await load(resolveUri(file, dump), { name: dump, profile: file });
    proved.push({
      dump,
      ...(loaded.ok ? proveSample(loaded.value, sample) : { faults: [loaded.why], options: 0, values: 0 }),
    });
  }
  return proved;
}

/** How many dumps prove a profile: samples that are there and hold, each file once. */
export async function countProofs(
  file: string,
  profile: Pick<Profile, 'samples'>,
  workspace: Pick<Workspace, 'load'>,
): Promise<number> {
  const holds = new Map<string, boolean>();
  for (const { dump, faults } of await proveBySamples(file, profile, workspace)) {
    const sample = resolveUri(file, dump);
    holds.set(sample, holds.get(sample) !== false && faults.length === 0);
  }
  return [...holds.values()].filter(Boolean).length;
}

/** What a sample shows of the profile of a name. */
export function provedInWords(name: string, { dump, faults, options, values }: ProvedSample): readonly Phrase[] {
  if (faults.length > 0) return faults.map((why) => phrase('{0}: {1}: {2}', name, dump, why));
  return options === 0
    ? [phrase('{0}: {1} fits, but no option could be tried.', name, dump)]
    : [phrase('{0}: {1} fits; set and set back: {2} options, {3} values', name, dump, options, values)];
}
