import { done, type Result } from '../base/result.js';
import type { ProfileToShare } from '../jobs/share/copies.js';
import type { ToShare } from '../jobs/share/shareDumps.js';
import { profilesNamedIn } from '../jobs/share/sharedProfile.js';
import { fileName, resolveUri } from './uri.js';

/** The profiles of dumps, and all that these name, each once; of the others, one that cannot be read is left out. */
export async function profilesToShare(
  sources: readonly ToShare[],
  readText: (file: string) => Promise<Result<string>>,
): Promise<Result<readonly ProfileToShare[]>> {
  const own = sources.flatMap(({ profileFile }) => profileFile ?? []);
  const wanted = [...own];
  const found = new Map<string, ProfileToShare>();
  for (const file of wanted) {
    if (found.has(file)) continue;
    const text = await readText(file);
    if (!text.ok && own.includes(file)) return text;
    if (!text.ok) continue;
    const names = new Map(profilesNamedIn(text.value).map((path) => [path, resolveUri(file, path)]));
    found.set(file, { file, name: fileName(file), text: text.value, names });
    wanted.push(...names.values());
  }
  return done([...found.values()]);
}
