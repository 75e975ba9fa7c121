import { phrase } from '../../../shared-core/src/base/index.js';
import {
  countProofs,
  fileName,
  type ListedProfile,
  listProfiles,
  profileInLine,
} from '../../../shared-core/src/workspace/index.js';
import { type Call, command, type Outcome } from './command.js';
import { must, uriOf } from './load.js';
import { say } from './say.js';

/** What the profiles of some folders are for, and how sure they are. */
export const profileList = command({
  name: 'profile list',
  arguments: 'FOLDER…',
  does: phrase('the profiles of a folder: parts, software, options, proofs, problems'),
  options: {},
  run: listThem,
});

async function listThem({ files, disk }: Call): Promise<Outcome> {
  const names = await disk.expand(files, ['profiles']);
  const byUri = new Map(names.map((name) => [uriOf(name), name]));
  const nameOf = (file: string) => byUri.get(file) ?? fileName(file);
  const all = must(
    await listProfiles([...byUri.keys()], {
      nameOf,
      readProfile: disk.workspace.readProfile,
      countProofs: (file, profile) => countProofs(file, profile, disk.workspace),
    }),
  );
  return {
    status: all.some(({ problems }) => problems.length > 0) ? 1 : 0,
    says: all.flatMap((one) => [
      profileInLine(one, nameOf),
      ...one.problems.map(({ message }) => phrase('{0}: {1}', one.name, message)),
    ]),
    json: { profiles: all.map((one) => toJson(one, nameOf)) },
  };
}

function toJson({ name, index, options, problems }: ListedProfile, nameOf: (file: string) => string): object {
  return {
    file: name,
    title: index?.title ?? null,
    part: index?.appliesTo?.part ?? [],
    software: index?.appliesTo?.software ?? [],
    extends: (index?.bases ?? []).map(nameOf),
    options: options.map(({ id, title, confidence, seen }) => ({ id, title, confidence: confidence ?? null, seen })),
    proofs: index?.proofs ?? 0,
    problems: problems.map(({ message }) => say(message)),
  };
}
