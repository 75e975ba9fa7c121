import type { CancellationToken } from 'vscode-languageserver';
import {
  bind,
  bindLearnedSteps,
  bindText,
  type Dump,
  EMPTY_PROFILE,
  type FindOptionParams,
  fileName,
  headerValue,
  inNotationOf,
  type LabelledDump,
  labelledByTag,
  notationOf,
  type Phrase,
  phrase,
  resolveUri,
  textOfRows,
} from '../../shared-core/src/index.js';
import { dumpNames } from './dumpNames.js';
import type { Session } from './session.js';
import { inSlices, pauses } from './slices.js';

/** Dumps of one module, of many cars, put in groups by their equipment. */
export interface ModuleDumps {
  readonly labelled: readonly LabelledDump[];
  /** The dump that was asked about. */
  readonly own: Dump;
  readonly profileUri: string | undefined;
  /** The text of a profile that was learned, where none is named. */
  readonly draft: string | undefined;
  readonly remarks: readonly Phrase[];
}

export interface DumpOfModule {
  readonly uri: string;
  readonly name: string;
  readonly dump: Dump;
}

/** The dumps of the workspace that the same profile explains as this one; where none does, those that none explains. */
export async function dumpsOfModule(session: Session, uri: string): Promise<readonly DumpOfModule[] | undefined> {
  const own = await session.analyzeFile(uri);
  if (own === undefined) return undefined;
  const uris = [...new Set([own.file, ...(await session.list()).dumps])];
  return readDumps(session, uris, own.profileFile, own.dump.profile);
}

async function readDumps(
  session: Session,
  uris: readonly string[],
  profileUri: string | undefined,
  profile: Dump['profile'],
): Promise<readonly DumpOfModule[]> {
  const found: { uri: string; dump: Dump }[] = [];
  const pause = pauses();
  for (const uri of uris) {
    await pause();
    const text = await session.files.readText(uri);
    if (!text.ok) continue;
    const unbound = bindText(fileName(uri), text.value, EMPTY_PROFILE);
    const named = headerValue(unbound, 'profile');
    if ((named === undefined ? undefined : resolveUri(uri, named)) !== profileUri) continue;
    const { rows, notation } = inNotationOf(profile, (head) => notationOf(fileName(uri), head), unbound);
    found.push({ uri, dump: bind(rows, notation, profile) });
  }
  const names = dumpNames(found.map((one) => one.uri));
  return found.map((one, i) => ({ ...one, name: names[i] ?? one.uri }));
}

/** The dumps that a search compares: those that are named, or else all of the module, by what their headers say. */
export async function gatherDumps(
  session: Session,
  { uri, tag, with: fitted, without: absent }: FindOptionParams,
  token: CancellationToken,
): Promise<ModuleDumps | undefined> {
  const own = await session.analyzeFile(uri);
  const all = await dumpsOfModule(session, uri);
  if (own === undefined || all === undefined) return undefined;
  const chosen = fitted.length + absent.length > 0;
  const groupOf = (one: string) => (fitted.includes(one) ? 0 : absent.includes(one) ? 1 : undefined);
  const isKnown = own.profile.kind === 'read';
  const learned = isKnown ? undefined : await inSlices(bindLearnedSteps(all.map(textOf)), token);
  const bound = all.map(({ dump, ...one }, i) => ({ ...one, dump: learned?.dumps[i] ?? dump }));
  const labels = labelledByTag(bound, tag);
  return {
    labelled: chosen ? bound.map(({ uri: one, ...rest }) => ({ ...rest, group: groupOf(one) })) : labels.dumps,
    own: bound.find((one) => one.uri === own.file)?.dump ?? own.dump,
    profileUri: isKnown ? own.profileFile : undefined,
    draft: learned === undefined ? undefined : `${JSON.stringify(learned.profile, null, 2)}\n`,
    remarks: [...(chosen ? [] : labels.remarks), ...(isKnown ? [] : [howSummed(learned !== undefined)])],
  };
}

function textOf({ name, dump }: DumpOfModule): { name: string; text: string } {
  return { name, text: textOfRows(dump.rows) };
}

function howSummed(learned: boolean): Phrase {
  return learned
    ? phrase('No profile was given; the sums were learned from these dumps and left out.')
    : phrase('No profile was given and no sums were learned, so sums may come up as candidates.');
}
