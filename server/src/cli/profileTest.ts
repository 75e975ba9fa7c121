import { type Phrase, phrase, proveSample, resolveUri, type SampleProof } from '../../../shared-core/src/index.js';
import { Failure } from '../files/failure.js';
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
  readonly samples: readonly (SampleProof & { readonly dump: string })[];
  readonly faults: readonly Phrase[];
}

async function testProfiles({ files, disk }: Call): Promise<Outcome> {
  const names = await disk.expand(files, ['profiles']);
  const tested: Tested[] = [];
  for (const [index, name] of names.entries()) {
    showProgress(index, names.length);
    tested.push(await testProfile(disk, name));
  }
  showProgress(names.length, names.length);
  if (tested.length === 0) throw new Failure(phrase('There is no profile here.'));
  const failed = tested.filter(isFaulty);
  const fitting = tested.filter((one) => !isFaulty(one) && one.samples.length > 0);
  const proved = fitting.filter(({ samples }) => samples.some(({ options }) => options > 0));
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
      ...(untried > 0 ? [phrase('Profiles of which no option could be tried: {0}', untried)] : []),
    ],
    json: {
      profiles: tested.map(({ name, samples, faults }) => ({
        file: name,
        faults: faults.map((why) => say(why)),
        samples: samples.map((one) => ({ ...one, faults: one.faults.map((why) => say(why)) })),
      })),
      failed: failed.length,
    },
  };
}

async function testProfile(disk: Disk, name: string): Promise<Tested> {
  const problems = await checkJson(disk, name, 'profiles');
  const faults = problems.map(({ row, start, code, message }) =>
    phrase('{0}:{1}: {2}: {3}', row + 1, start + 1, code, message),
  );
  if (faults.length > 0) return { name, samples: [], faults };
  const { profile } = must(await disk.workspace.readProfile(uriOf(name)));
  const samples: Tested['samples'][number][] = [];
  for (const sample of profile.samples) {
    const uri = resolveUri(uriOf(name), sample.dump);
    const loaded = await disk.workspace.load(uri, { name: sample.dump, profile: uriOf(name) });
    const proof = loaded.ok ? proveSample(loaded.value, sample) : { faults: [loaded.why], options: 0, values: 0 };
    samples.push({ dump: sample.dump, ...proof });
  }
  return { name, samples, faults };
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
    ...samples.flatMap(({ dump, faults: all, options, values }) =>
      all.length > 0
        ? all.map((why) => phrase('{0}: {1}: {2}', name, dump, why))
        : options === 0
          ? phrase('{0}: {1} fits, but no option could be tried.', name, dump)
          : phrase('{0}: {1} fits; set and set back: {2} options, {3} values', name, dump, options, values),
    ),
  ];
}
