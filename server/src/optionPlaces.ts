import { valueIn } from '../../shared-core/src/base/index.js';
import { isIdOf, type OptionName } from '../../shared-core/src/jobs/index.js';
import { resolveUri } from '../../shared-core/src/workspace/index.js';
import { cellAtCursor, optionsAtCursor, spanOfOption } from './cursor.js';
import { type JsonFile, namesOf, readJsonFile, readProfileFile, toJsonRange } from './jsonFile.js';
import type { Position, Range } from './lsp.js';
import type { Session } from './session.js';
import { toRange } from './toLsp.js';

/** An option of a profile, whatever file speaks of it. */
export interface OptionKey {
  readonly profileUri: string;
  readonly id: string;
}

/** An option that is spoken of at a place, and the stretch that does. */
export interface OptionHere extends OptionKey {
  readonly range: Range;
}

/** The options that a cursor stands on: at the digits of a dump, or at an id in a profile or retrofit. */
export async function optionsHere(session: Session, uri: string, position: Position): Promise<readonly OptionHere[]> {
  const file = await readJsonFile(session, uri);
  if (file !== undefined) {
    const found = nameAt(file, position);
    return found === undefined ? [] : [{ ...keyOf(file, found), range: toJsonRange(file, found.span) }];
  }
  const explained = valueIn(await session.bindFile(uri));
  if (explained?.profileFile === undefined) return [];
  const { dump, profileFile: profileUri } = explained;
  if (cellAtCursor(dump, position) === undefined) return [];
  return optionsAtCursor(dump, position).flatMap((option) => {
    const span = spanOfOption(dump, option);
    return span === undefined ? [] : [{ profileUri, id: option.id, range: toRange(span) }];
  });
}

/** The option id that a position stands in, or right behind. */
export function nameAt(file: JsonFile, position: Position): OptionName | undefined {
  const at = file.document.offsetAt(position);
  return namesOf(file)?.options.find(({ span }) => at >= span.start && at <= span.end);
}

/** Which option a name in a file means. */
export function keyOf({ uri }: Pick<JsonFile, 'uri'>, { profile, id }: Pick<OptionName, 'profile' | 'id'>): OptionKey {
  return { profileUri: profile === undefined ? uri : resolveUri(uri, profile), id };
}

export function isSameOption(a: OptionKey, b: OptionKey): boolean {
  return a.id === b.id && a.profileUri === b.profileUri;
}

/** What the profile says of an option; one of several of a kind is described with all of them. */
function describedIn(file: JsonFile | undefined, id: string): OptionName | undefined {
  const described = (file && namesOf(file)?.options)?.filter(({ role }) => role === 'described') ?? [];
  return described.find((name) => name.id === id) ?? described.find((name) => isIdOf(name, id));
}

/** The files in which a profile is written: itself, and those that it extends, the nearest first. */
async function filesOfProfile({ files }: Session, profileUri: string): Promise<readonly string[]> {
  const reading = valueIn(await files.readProfile(profileUri));
  return [profileUri, ...(reading?.chain?.bases ?? []).map(({ file }) => file).reverse()];
}

/** Where a profile describes an option: in itself first, then in those that it extends. */
export async function descriptionsOf(
  session: Session,
  { profileUri, id }: OptionKey,
): Promise<readonly (OptionName & { readonly file: JsonFile })[]> {
  const files = await Promise.all(
    (await filesOfProfile(session, profileUri)).map((uri) => readProfileFile(session, uri)),
  );
  return files.flatMap((file) => {
    const found = describedIn(file, id);
    return file === undefined || found === undefined ? [] : [{ ...found, file }];
  });
}

/** Profiles that share an option, and all files in which they are written. */
export interface Sharers {
  readonly profiles: ReadonlySet<string>;
  readonly files: ReadonlySet<string>;
}

/** The profiles that have an option in common with one of them: all that extend a profile in which it is described. */
export async function sharersOf(
  session: Session,
  { profileUri, id }: OptionKey,
  pause: () => Promise<void>,
): Promise<Sharers> {
  const { profiles } = await session.list();
  const chains = new Map<string, readonly string[]>();
  for (const uri of new Set([profileUri, ...profiles])) {
    for (const file of [uri, ...(await filesOfProfile(session, uri))])
      if (!chains.has(file)) chains.set(file, await filesOfProfile(session, file));
    await pause();
  }
  const describing = new Set<string>();
  for (const uri of chains.keys())
    if (describedIn(await readProfileFile(session, uri), id) !== undefined) describing.add(uri);
  let sharing: ReadonlySet<string> = new Set([profileUri]);
  for (;;) {
    const files = new Set([...sharing].flatMap((uri) => chains.get(uri) ?? []));
    const isDescribedThere = (uri: string) => files.has(uri) && describing.has(uri);
    const more = [...chains].flatMap(([uri, chain]) => (chain.some(isDescribedThere) ? [uri] : []));
    const next = new Set([...sharing, ...more]);
    if (next.size === sharing.size) return { profiles: sharing, files };
    sharing = next;
  }
}
