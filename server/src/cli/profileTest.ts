import { type Phrase, phrase } from '../../../shared-core/src/base/index.js';
import type { Confidence, Option } from '../../../shared-core/src/profile/index.js';
import { type ProvedSample, proveBySamples, provedInWords } from '../../../shared-core/src/workspace/index.js';
import { checkJson } from './checkJson.js';
import { type Call, command, type Outcome } from './command.js';
import { type Disk, must, uriOf } from './load.js';
import { showProgress } from './progress.js';
import { say } from './say.js';

/** Profiles held against the dumps that they name as their samples. */
export const profileTest = command({
  name: 'profile test',
  arguments: 'FOLDER…',
  does: phrase('whether profiles hold: valid, their samples right under them, every option set and set back'),
  options: {},
  run: testProfiles,
});

interface Tested {
  readonly name: string;
  readonly samples: readonly ProvedSample[];
  readonly faults: readonly Phrase[];
  readonly seen: SeenCount;
}

/** How many options say on which modules they were seen, and how many of these are how sure by that. */
interface SeenCount {
  readonly options: number;
  readonly confirmed: number;
  readonly tried: number;
}

const NONE_SEEN: SeenCount = { options: 0, confirmed: 0, tried: 0 };

function countSeen(options: readonly Option[]): SeenCount {
  const seen = options.flatMap((one) => one.seen?.confidence ?? []);
  const count = (wanted: Confidence) => seen.filter((one) => one === wanted).length;
  return { options: seen.length, confirmed: count('confirmed'), tried: count('likely') };
}

function sumOf(counts: readonly SeenCount[]): SeenCount {
  return counts.reduce(
    (sum, { options, confirmed, tried }) => ({
      options: sum.options + options,
      confirmed: sum.confirmed + confirmed,
      tried: sum.tried + tried,
    }),
    NONE_SEEN,
  );
}

async function testProfiles({ files, disk }: Call): Promise<Outcome> {
  const names = await disk.expand(files, ['profiles']);
  const tested: Tested[] = [];
  for (const [index, name] of names.entries()) {
    showProgress(index, names.length);
    tested.push(await testProfile(disk, name));
  }
  showProgress(names.length, names.length);
  const failed = tested.filter(isFaulty);
  const fitting = tested.filter((one) => !isFaulty(one) && one.samples.length > 0);
  const proved = fitting.filter(({ samples }) => samples.some(({ options }) => options > 0));
  const seen = sumOf(tested.map((one) => one.seen));
  const untried = fitting.length - proved.length;
  return {
    status: failed.length > 0 ? 1 : 0,
    says: [
      ...tested.flatMap(inWords),
      phrase(
        'Profiles proved by their samples: {0}, without a sample: {1}, with faults: {2}',
        proved.length,
        tested.length - failed.length - fitting.length,
        failed.length,
      ),
      ...(seen.options > 0
        ? [
            phrase(
              'Options that list the modules they were seen on: {0}, of these confirmed: {1}, set and tried once: {2}',
              seen.options,
              seen.confirmed,
              seen.tried,
            ),
          ]
        : []),
      ...(untried > 0 ? [phrase('Profiles of which no option could be tried: {0}', untried)] : []),
    ],
    json: {
      profiles: tested.map(({ name, samples, faults, seen: ofIt }) => ({
        file: name,
        faults: faults.map((why) => say(why)),
        seen: ofIt,
        samples: samples.map((one) => ({ ...one, faults: one.faults.map((why) => say(why)) })),
      })),
      failed: failed.length,
    },
  };
}

async function testProfile(disk: Disk, name: string): Promise<Tested> {
  const problems = await checkJson(disk, name, 'profiles');
  const faults = problems.flatMap(({ row, start, severity, code, message }) =>
    severity === 'error' ? phrase('{0}:{1}: {2}: {3}', row + 1, start + 1, code, message) : [],
  );
  if (faults.length > 0) return { name, samples: [], faults, seen: NONE_SEEN };
  const { profile } = must(await disk.workspace.readProfile(uriOf(name)));
  const samples = await proveBySamples(uriOf(name), profile, disk.workspace);
  return { name, samples, faults, seen: countSeen(profile.options) };
}

function isFaulty({ faults, samples }: Tested): boolean {
  return faults.length > 0 || samples.some((one) => one.faults.length > 0);
}

function inWords(tested: Tested): readonly Phrase[] {
  const { name, samples, faults } = tested;
  if (samples.length === 0 && faults.length === 0)
    return [phrase('{0}: it names no sample, so nothing is proved.', name)];
  return [
    ...faults.map((why) => phrase('{0}: {1}', name, why)),
    ...samples.flatMap((sample) => provedInWords(name, sample)),
  ];
}
