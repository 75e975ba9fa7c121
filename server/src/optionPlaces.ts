import type { Position, Range } from 'vscode-languageserver';
import { isIdOf, type OptionName, resolveUri, valueIn } from '../../shared-core/src/index.js';
import { cellAtCursor, optionsAtCursor, spanOfOption } from './cursor.js';
import { type JsonFile, namesOf, readJsonFile, toJsonRange } from './jsonFile.js';
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
export function describedIn(file: JsonFile | undefined, id: string): OptionName | undefined {
  const described = (file && namesOf(file)?.options)?.filter(({ role }) => role === 'described') ?? [];
  return described.find((name) => name.id === id) ?? described.find((name) => isIdOf(name, id));
}

/** Where the profile describes an option. */
export async function descriptionOf(
  session: Session,
  { profileUri, id }: OptionKey,
): Promise<{ readonly uri: string; readonly whole: Range; readonly name: Range } | undefined> {
  const file = await readJsonFile(session, profileUri);
  const found = describedIn(file, id);
  return (
    file && found && { uri: profileUri, whole: toJsonRange(file, found.whole), name: toJsonRange(file, found.span) }
  );
}
