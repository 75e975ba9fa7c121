import { basename } from 'node:path';
import { phrase } from '../../../shared-core/src/base/index.js';
import type { LoadedDump } from '../../../shared-core/src/checks/index.js';
import {
  type CardModule,
  jobCard,
  namedDump,
  numberFor,
  whyNoCard,
  withUnchecked,
} from '../../../shared-core/src/jobs/index.js';
import { resolveUri } from '../../../shared-core/src/workspace/index.js';
import { Failure } from '../files/failure.js';
import { type Call, command, type Outcome } from './command.js';
import { cutShortIn } from './leftPlans.js';
import { loadRetrofit, uriOf } from './load.js';
import { OUT, PROFILE, text } from './options.js';
import { howToUse } from './readCall.js';
import { say } from './say.js';

const OPTIONS = {
  retrofit: text('FILE', phrase('with the checks and the work around it')),
  ...PROFILE,
  ...OUT,
};

/** The job card of one or several modules, from pairs of dumps: as found, and as planned. */
export const card = command({
  name: 'card',
  arguments: 'BEFORE AFTER…',
  does: phrase('the job card as Markdown; a pair of dumps for each module'),
  options: OPTIONS,
  run: makeCard,
});

async function makeCard({
  files,
  profile,
  retrofit: retrofitFile,
  disk,
  halfPlans,
}: Call<typeof OPTIONS>): Promise<Outcome> {
  if (files.length % 2 === 1) throw new Failure(howToUse(card));
  const retrofit = retrofitFile === undefined ? undefined : await loadRetrofit(disk, retrofitFile);
  const wanted = retrofit?.changes.map(({ profile: path }) => resolveUri(uriOf(retrofitFile ?? ''), path)) ?? [];
  const pairs: { readonly before: LoadedDump; readonly after: LoadedDump; readonly name: string }[] = [];
  for (let i = 0; i < files.length; i += 2) {
    const before = await disk.load(files[i] as string, profile);
    const name = files[i + 1] as string;
    pairs.push({ before, after: await disk.load(name, profile), name });
  }
  const cutShort = cutShortIn(disk, halfPlans(), files);
  const modules = pairs.map(({ before, after, name }): CardModule => {
    const named = namedDump(basename(after.name), after);
    return {
      before: namedDump(basename(before.name), before),
      after: withUnchecked(named, cutShort(name)),
      change: retrofit?.changes[numberFor(wanted, after.profileFile ?? '', after.dump.profile)],
    };
  });
  const refused = whyNoCard(modules);
  if (refused !== undefined) throw new Failure(refused);
  const {
    text: page,
    open,
    isWhole,
  } = jobCard({ modules, retrofit, time: new Date().toISOString() }, (said) => say(said));
  return {
    status: isWhole ? (open.length === 0 ? 0 : 1) : 2,
    document: { content: page, inJson: true },
    json: { open: open.map((said) => say(said)) },
  };
}
