import { phrase } from '../../../shared-core/src/base/index.js';
import { mergeProfiles } from '../../../shared-core/src/profile/index.js';
import { Failure } from '../files/failure.js';
import { type Call, command, type Outcome } from './command.js';
import { must, uriOf } from './load.js';
import { OUT, text, WRITE } from './options.js';
import { say } from './say.js';

const OPTIONS = {
  base: text('OLD', phrase('the profile that both began with')),
  at: text('FILE', phrase('where the profile belongs, from which it names others')),
  write: { ...WRITE.write, does: phrase('write MINE itself') },
  ...OUT,
};

/** What two people have found out about one module, as one profile; what contradicts is listed and never decided. */
export const profileMerge = command({
  name: 'profile merge',
  arguments: 'MINE THEIRS',
  does: phrase('two versions of a profile as one, by what they mean; conflicts are listed and nothing is written'),
  options: OPTIONS,
  exclusive: [['write', 'out']],
  places: () => [],
  run: mergeFiles,
});

async function mergeFiles({ files, base, at, disk }: Call<typeof OPTIONS>): Promise<Outcome> {
  const [mine = '', theirs = ''] = files;
  if (base === undefined)
    throw new Failure(phrase('"--base" is missing. Name the profile that both began with: --base OLD.'));
  // Wherever a version lies, it names others from the place of the profile.
  const place = uriOf(at ?? mine);
  const version = async (name: string) => {
    const content = await disk.readText(name);
    return { name, text: content, bases: await disk.workspace.basesOf(place, content) };
  };
  const versions = { mine: await version(mine), theirs: await version(theirs), base: await version(base) };
  const { text: merged, conflicts } = must(mergeProfiles(versions));
  if (merged === undefined)
    return {
      status: 1,
      says: [
        ...conflicts,
        phrase(
          'Conflicts: {0}. Nothing was written; decide them in one of the two, then merge again.',
          conflicts.length,
        ),
      ],
      json: { conflicts: conflicts.map((conflict) => say(conflict)) },
    };
  return {
    status: 0,
    says: [phrase('{0} and {1} were merged', mine, theirs)],
    document: { content: merged, of: { file: mine, before: versions.mine.text }, inJson: true },
    json: { conflicts: [] },
  };
}
