import type { Dump } from '../model/dump.js';
import { headerValue } from '../model/headers.js';

/** A dump and the name of its file. */
interface Called {
  readonly name: string;
  readonly dump: Pick<Dump, 'profile' | 'rows' | 'headers'>;
}

/** What people call the module of some dumps: by its profile, else by what a dump says, else by the names of the files. */
export function moduleTitle(dumps: readonly Called[]): string {
  const said = (of: (one: Called) => string | undefined) => dumps.flatMap((one) => of(one) ?? [])[0];
  return (
    said(({ dump }) => dump.profile.title) ??
    said(({ dump }) => headerValue(dump, 'module')) ??
    said(({ dump }) => headerValue(dump, 'part')) ??
    said(profileStem) ??
    dumps[0]?.name ??
    ''
  );
}

/** The name of the profile's file without its ending, as the dump writes it. */
function profileStem({ dump }: Called): string | undefined {
  return headerValue(dump, 'profile')
    ?.replace(/^.*[\\/]/, '')
    .replace(/\.dump-profile\.json$/, '');
}
