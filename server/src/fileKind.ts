import { isDumpName } from '../../shared-core/src/index.js';

/** What a file is by its name; undefined where it is none of ours. */
export function kindOf(name: string): 'dumps' | 'profiles' | 'retrofits' | undefined {
  if (name.endsWith('.dump-profile.json')) return 'profiles';
  if (name.endsWith('.retrofit.json')) return 'retrofits';
  return isDumpName(name) ? 'dumps' : undefined;
}
