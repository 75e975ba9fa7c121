import { boundBy, explainsWhole, whyNotNamed } from '../../shared-core/src/actions/index.js';
import { type Phrase, phrase, valueIn } from '../../shared-core/src/base/index.js';
import { textOfRows } from '../../shared-core/src/format/index.js';
import {
  bindLearnedSteps,
  comparedDump,
  draftText,
  groupByTag,
  type LabelledDump,
  labelledByTag,
  likelyModuleName,
  namedDraft,
} from '../../shared-core/src/learn/index.js';
import { type Dump, headerOf, headerValue, headerValues, isSealed } from '../../shared-core/src/model/index.js';
import type { FindOptionParams } from '../../shared-core/src/protocol/learning.js';
import { asRead, fileName, resolveUri } from '../../shared-core/src/workspace/index.js';
import { dumpNames } from './dumpNames.js';
import type { CancellationToken } from './lsp.js';
import type { FileAnalysis, Session } from './session.js';
import { inSlices, pauses } from './slices.js';

/** Dumps of one module, of many cars, put in groups by their equipment. */
export interface ModuleDumps {
  readonly labelled: readonly LabelledDump[];
  /** The dump that was asked about. */
  readonly own: Dump;
  /** The version of the document that it was read from; `null` where it is not open. */
  readonly version: number | null;
  readonly profileUri: string | undefined;
  /** The text of a profile that was learned, where none is named. */
  readonly draft: { readonly draft: string; readonly title: string } | undefined;
  readonly remarks: readonly Phrase[];
}

export interface DumpOfModule {
  readonly uri: string;
  readonly name: string;
  readonly dump: Dump;
  readonly version: number | null;
}

/** The dumps of one module, and those that are none of them. */
export interface DumpsOfModule {
  readonly dumps: readonly DumpOfModule[];
  readonly others: readonly OtherDump[];
  /** The profile that all of them name. */
  readonly profileUri: string | undefined;
}

/** A dump of the folder that is not compared, and why. */
export interface OtherDump {
  readonly uri: string;
  readonly why: Phrase;
  /** Undefined where it cannot be read. */
  readonly dump: Dump | undefined;
  /** It names no profile, and that of the dump that was asked about explains it. */
  readonly isUnnamed: boolean;
  /** It names another profile. */
  readonly isOther: boolean;
}

/** The dumps of the workspace that the same profile explains as this one; where none does, those that none explains. */
export async function dumpsOfModule(session: Session, uri: string): Promise<DumpsOfModule | undefined> {
  const own = valueIn(await session.analyzeFile(uri));
  if (own === undefined) return undefined;
  const uris = [...new Set([own.file, ...(await session.list()).dumps])];
  const found: Omit<DumpOfModule, 'name'>[] = [];
  const others: OtherDump[] = [];
  const pause = pauses();
  for (const one of uris) {
    await pause();
    const bound = await session.bindFile(one);
    if (!bound.ok) {
      others.push({ uri: one, why: bound.why, dump: undefined, isUnnamed: false, isOther: false });
      continue;
    }
    const { dump, version, profile, profileFile } = bound.value;
    if (profileFile === own.profileFile && profile.kind === own.profile.kind) found.push({ uri: one, dump, version });
    else
      others.push({
        uri: one,
        why: whyNotCompared(own, bound.value),
        dump,
        isUnnamed: profileFile === undefined && own.profileFile !== undefined && mayName(own, bound.value),
        isOther: profileFile !== undefined && own.profileFile !== undefined,
      });
  }
  const names = dumpNames(found.map(({ uri: found }) => found));
  return { dumps: found.map((one, i) => ({ ...one, name: names[i] ?? one.uri })), others, profileUri: profileOf(own) };
}

function profileOf({ profile, profileFile }: Pick<FileAnalysis, 'profile' | 'profileFile'>): string | undefined {
  return profile.kind === 'read' ? profileFile : undefined;
}

/** Dumps are compared byte by byte only where one profile says what the bytes of both are. */
function whyNotCompared(own: FileAnalysis, { profileFile: other, dump, file }: OtherFile): Phrase {
  if (own.profileFile === undefined)
    return phrase('It names the profile {0}, and the dump that is asked about names none.', fileName(other ?? ''));
  const name = fileName(own.profileFile);
  if (other !== undefined) return phrase('It names another profile, {0}: it is of another module.', fileName(other));
  if (mayName(own, { dump, file })) return phrase('It names no profile. Name {0} in it, if that is its module.', name);
  const why = whyNotNamed(dump, own.dump.profile);
  return why === undefined
    ? phrase(
        'It names no profile, and {0} does not explain it: it is of another module, or lines of it are damaged.',
        name,
      )
    : phrase('It names no profile, and {0} is not for it: {1}', name, why);
}

type OtherFile = Pick<FileAnalysis, 'profileFile' | 'dump' | 'file'>;

/** Whether another dump may name the profile of a dump, which explains it as far as it knows sums. */
function mayName({ dump: { profile } }: FileAnalysis, { dump, file }: Pick<OtherFile, 'dump' | 'file'>): boolean {
  const hasSums = profile.lineSum !== undefined || profile.totals.length > 0;
  return whyNotNamed(dump, profile) === undefined && (!hasSums || explainsWhole(profile, dump, fileName(file)));
}

/** Leaves out sealed backups of dumps that are there: these are the same cars. One that is tagged otherwise says more, and stays. */
export function withoutBackups<T extends DumpOfModule>(dumps: readonly T[], asked: string): readonly T[] {
  const said = ({ dump }: DumpOfModule) =>
    JSON.stringify((['fitted', 'absent'] as const).map((name) => headerValues(dump, name)));
  return dumps.filter(
    (one) =>
      one.uri === asked ||
      !isSealed(one.dump) ||
      !dumps.some((other) => {
        const backup = headerValue(other.dump, 'backup');
        return backup !== undefined && resolveUri(other.uri, backup) === one.uri && said(other) === said(one);
      }),
  );
}

/** The dumps that a search compares: those that are named, or else all of the module, by what their headers say. */
export async function gatherDumps(
  session: Session,
  { uri, tag, with: fitted, without: absent }: FindOptionParams,
  token: CancellationToken,
): Promise<ModuleDumps | undefined> {
  const own = valueIn(await session.analyzeFile(uri));
  const ofModule = await dumpsOfModule(session, uri);
  if (own === undefined || ofModule === undefined) return undefined;
  const { others } = ofModule;
  const chosen = fitted.length + absent.length > 0;
  const pair = fitted.length === 1 && absent.length === 1 ? [...fitted, ...absent] : [];
  const { dumps: all, remarks } = await allAsRead(session, withoutBackups(ofModule.dumps, own.file), pair);
  const groupOf = (one: string) => (fitted.includes(one) ? 0 : absent.includes(one) ? 1 : undefined);
  const isKnown = own.profile.kind === 'read';
  const learned = isKnown ? undefined : await inSlices(bindLearnedSteps(all.map(textOf)), token);
  const bound = all.map(({ dump, ...one }, i) => ({ ...one, dump: learned?.dumps[i] ?? dump }));
  const pause = pauses();
  const compared: Omit<LabelledDump, 'group'>[] = [];
  for (const { name, dump } of bound) {
    await pause();
    compared.push({ name, dump: comparedDump(dump, compared.at(-1)?.dump) });
  }
  const labels = labelledByTag(compared, tag);
  const [one] = learned?.dumps ?? [];
  const dump = one === undefined ? own.dump : boundBy(one.profile, own.dump, fileName(uri));
  const title = likelyModuleName(dump, fileName(uri));
  return {
    labelled: chosen ? compared.map((one, i) => ({ ...one, group: groupOf(bound[i]?.uri ?? '') })) : labels.dumps,
    own: dump,
    version: own.version,
    profileUri: profileOf(own),
    draft: learned === undefined ? undefined : { draft: draftText(namedDraft(learned.profile, title)), title },
    remarks: [
      ...remarks,
      ...notCompared(others, chosen ? undefined : tag),
      ...(chosen ? [] : labels.remarks),
      ...(isKnown ? [] : [howSummed(learned !== undefined)]),
    ],
  };
}

/** The dumps as they were read from their modules, without those of which nothing was. */
async function allAsRead(
  session: Session,
  dumps: readonly DumpOfModule[],
  pair: readonly string[],
): Promise<{ readonly dumps: readonly DumpOfModule[]; readonly remarks: readonly Phrase[] }> {
  const files = new Set(dumps.map(({ uri }) => uri));
  const all: DumpOfModule[] = [];
  const remarks: Phrase[] = [];
  for (const one of dumps) {
    const loaded = headerOf(one.dump, 'backup') && valueIn(await session.analyzeFile(one.uri));
    const read = loaded && asRead({ ...loaded, name: one.name }, { isThere: (file) => files.has(file), pair });
    remarks.push(...(read?.remarks ?? []));
    const dump = read === undefined ? one.dump : read.dump;
    if (dump !== undefined) all.push({ ...one, dump });
  }
  return { dumps: all, remarks };
}

/** More dumps than these are not named one by one. */
const MOST_NAMED = 5;

/** Files that cannot be read are always told; dumps by another profile, or none, where their headers say that they were meant. */
function notCompared(others: readonly OtherDump[], tag: string | undefined): readonly Phrase[] {
  const unread = others.flatMap(({ dump, why }) => (dump === undefined ? phrase('Left out: {0}.', why) : []));
  const meant = others.filter(
    ({ dump }) => tag !== undefined && dump !== undefined && groupByTag(dump, tag) !== undefined,
  );
  const named = meant.slice(0, MOST_NAMED).map(({ uri, why }) => phrase('Not compared: {0}. {1}', fileName(uri), why));
  const more = meant.length - named.length;
  return [...unread, ...named, ...(more > 0 ? [phrase('Not compared for such reasons: {0} more dumps.', more)] : [])];
}

function textOf({ name, dump }: DumpOfModule): { name: string; text: string } {
  return { name, text: textOfRows(dump.rows) };
}

function howSummed(learned: boolean): Phrase {
  return learned
    ? phrase('No profile was given; the sums were learned from these dumps and left out.')
    : phrase('No profile was given and no sums were learned, so sums may come up as candidates.');
}
