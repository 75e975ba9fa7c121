import {
  done,
  listed,
  type Phrase,
  phrase,
  type Result,
  refuse,
  sentences,
} from '../../../shared-core/src/base/index.js';
import { readBackup } from '../../../shared-core/src/checks/index.js';
import { compareDumps } from '../../../shared-core/src/compare/index.js';
import {
  type CardModule,
  heldLast,
  jobCard,
  jobDump,
  moduleTitle,
  type NamedDump,
  namedDump,
  numberFor,
  type Retrofit,
  whyNoCard,
  withUnchecked,
} from '../../../shared-core/src/jobs/index.js';
import { headerValue, isForComparison, isSealed, sameVehicle } from '../../../shared-core/src/model/index.js';
import type { Refusal } from '../../../shared-core/src/protocol/common.js';
import {
  JOB_CARD,
  type JobCardParams,
  type JobCardResult,
  type RetrofitChoice,
} from '../../../shared-core/src/protocol/retrofit.js';
import { canonicalUri, cardName, fileName, resolveUri } from '../../../shared-core/src/workspace/index.js';
import { cutShortFor } from '../cutShort.js';
import { answerOrRefuse, type Feature } from '../feature.js';
import type { CutShort } from '../plansOnDisk.js';
import type { Analysis, FileAnalysis, Session } from '../session.js';

/** The job card of a dump in work, with the other modules of its vehicle that are changed, and the retrofit they follow. */
export const cardOfJob: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<JobCardResult | RetrofitChoice | Refusal, void>(JOB_CARD, (params: JobCardParams) =>
      answerOrRefuse(session, params.uri, (first) => cardFor(session, params, first, new Date().toISOString())),
    );
  },
};

interface Chosen {
  readonly uri: string;
  readonly retrofit: Retrofit;
}

async function cardFor(
  session: Session,
  { uri, retrofit: wanted, unsaved = [] }: JobCardParams,
  first: Analysis,
  time: string,
): Promise<JobCardResult | RetrofitChoice | Refusal> {
  const refused = (why: Phrase): Refusal => ({ refused: session.say(why) });
  const why = whyNotInWork(first);
  if (why !== undefined) return refused(why);
  const others = await otherModules(session, first);
  if (!others.ok) return refused(others.why);
  const twice = claimedTwice(others.value.changed);
  if (twice !== undefined) return refused(twice);
  const held = await heldByModule(session, first, time);
  // A module that goes back to its backup does so alone, and follows no retrofit any more, whatever the others hold.
  const files = held === undefined ? [first, ...others.value.changed] : [first];
  const isFree = wanted === null || (wanted === undefined && held !== undefined);
  const retrofits = isFree ? done([]) : await retrofitsFor(session, files, wanted);
  if (!retrofits.ok) return refused(retrofits.why);
  const fitting = retrofits.value;
  if (wanted === undefined && fitting.length > 1)
    return { retrofits: fitting.map((one) => ({ uri: one.uri, title: one.retrofit.title ?? fileName(one.uri) })) };
  const [chosen] = fitting;
  const cutShort = await cutShortFor(session, files);
  const dirty = new Set(unsaved.map(canonicalUri));
  const doubts = (file: string) => [...cutShort(file), ...(dirty.has(file) ? [NOT_SAVED] : [])];
  const modules = inOrderOf(chosen, files, doubts).map(
    (module): CardModule => (held === undefined ? module : { ...module, before: held, isWayBack: true }),
  );
  const apart = whyNoCard(modules);
  if (apart !== undefined) return refused(apart);
  const { text, open } = jobCard({ modules, retrofit: chosen?.retrofit, time }, session.say);
  const vehicle = headerValue(first.dump, 'vehicle') ?? headerValue(first.dump, 'vin') ?? fileName(uri);
  const title = session.say(phrase('Job card: {0}', vehicle));
  // A card of one module of several says in its name which one it is; the one to go back by is not to be taken for the other.
  const isOfOne = modules.length === 1 && others.value.count > 0;
  const leadsBack = modules.every(({ isWayBack }) => isWayBack === true);
  const name = cardName(
    vehicle,
    time,
    ...(isOfOne ? [moduleTitle([{ name: first.name, dump: first.dump }])] : []),
    ...(leadsBack ? [session.say(phrase('going back'))] : []),
  );
  return { title, page: text, fileName: name, open: open.map(session.say) };
}

const NOT_SAVED = phrase(
  'It is not saved, so its file holds something else than this card says. Save it, then make the card anew.',
);

function whyNotInWork({ dump, backup }: FileAnalysis): Phrase | undefined {
  if (isSealed(dump))
    return phrase('This dump is a sealed backup itself. Open the dump in work, which names it as its backup.');
  const read = readBackup(backup);
  return read.ok ? undefined : read.why;
}

/** The other modules of a vehicle that are in work. */
interface OtherModules {
  readonly changed: readonly FileAnalysis[];
  /** How many there are, changed or not. */
  readonly count: number;
}

/** The dumps in work of the vehicle's other modules, as far as they are changed. */
async function otherModules(session: Session, first: FileAnalysis): Promise<Result<OtherModules>> {
  const found: FileAnalysis[] = [];
  let count = 0;
  const { dumps, unread } = await session.files.unsealed();
  if (unread.length > 0) return refuse(sentences(unread));
  for (const { file: uri, profileFile } of dumps) {
    if (profileFile === first.profileFile) continue;
    const read = await session.analyzeFile(uri);
    if (!read.ok) return read;
    const other = read.value;
    // A dump without a backup was read and is not in work.
    if (other.backup.kind === 'none' || !sameVehicle(first.dump, other.dump)) continue;
    count++;
    const why = whyNotInWork(other);
    if (other.backup.kind !== 'read' || why !== undefined) return refuse(phrase('{0}: {1}', other.name, why ?? ''));
    if (!compareDumps(other.backup.dump, other.dump).identical) found.push(other);
  }
  return done({ changed: found, count });
}

function claimedTwice(files: readonly FileAnalysis[]): Phrase | undefined {
  for (const { profileFile, dump } of files) {
    const same = files.filter((other) => other.profileFile === profileFile);
    if (same.length > 1)
      return phrase(
        'Several changed dumps of this vehicle are for the module "{0}": {1}. Keep the one to be written and move the others.',
        dump.profile.title ?? fileName(profileFile ?? ''),
        listed(same.map(({ name }) => name)),
      );
  }
  return undefined;
}

/**
 * The retrofits of the workspace that change one of these modules, or the one that a person wants. Refused where one of
 * them has a problem: it may be the one that this job follows.
 */
async function retrofitsFor(
  session: Session,
  files: readonly FileAnalysis[],
  wanted: string | undefined,
): Promise<Result<readonly Chosen[]>> {
  const found: Chosen[] = [];
  for (const uri of wanted === undefined ? (await session.list()).retrofits : [canonicalUri(wanted)]) {
    const read = await session.files.readRetrofit(uri);
    if (read.kind !== 'sound') return refuse(read.why);
    const { retrofit } = read;
    const fits = files.some((file) => numberIn({ uri, retrofit }, file) >= 0);
    if (fits) found.push({ uri, retrofit });
    else if (wanted !== undefined)
      return refuse(phrase('{0} changes none of these modules. Choose another retrofit, or none.', fileName(uri)));
  }
  return done(found);
}

/** What the module of a dump was read to hold last, where the dump is as its backup again and the module is not. */
async function heldByModule(session: Session, first: Analysis, now: string): Promise<NamedDump | undefined> {
  if (first.backup.kind !== 'read' || !compareDumps(first.backup.dump, first.dump).identical) return undefined;
  const own = jobDump(first);
  const dumps = [own];
  for (const uri of (await session.list()).dumps) {
    const read = canonicalUri(uri) === own.file ? undefined : await session.analyzeFile(uri);
    if (read?.ok && sameVehicle(first.dump, read.value.dump) && !isForComparison(read.value.dump))
      dumps.push(jobDump(read.value));
  }
  return heldLast(own, dumps, now);
}

/** The modules in the order in which the retrofit names them, then the others. */
function inOrderOf(
  chosen: Chosen | undefined,
  files: readonly FileAnalysis[],
  cutShort: CutShort,
): readonly CardModule[] {
  const modules = files.map((file) => {
    const changes = chosen?.retrofit.changes ?? [];
    const at = chosen === undefined ? -1 : numberIn(chosen, file);
    return { at: at < 0 ? changes.length : at, module: moduleOf(file, changes[at], cutShort(file.file)) };
  });
  return modules.sort((a, b) => a.at - b.at).map(({ module }) => module);
}

/** The change of a retrofit that the module of a dump gets, by its number. */
function numberIn({ uri, retrofit }: Chosen, { profileFile = '', dump }: FileAnalysis): number {
  const wanted = retrofit.changes.map(({ profile }) => resolveUri(uri, profile));
  return numberFor(wanted, profileFile, dump.profile);
}

function moduleOf(file: FileAnalysis, change: CardModule['change'], cutShort: readonly Phrase[]): CardModule {
  const after = withUnchecked(namedDump(file.name, file), cutShort);
  const { backup, backupFile = '' } = file;
  // What is wrong with the backup is marked in the dump that names it.
  const found: NamedDump =
    backup.kind === 'read' ? { name: fileName(backupFile), dump: backup.dump, problems: [], unchecked: [] } : after;
  return { before: found, after, change };
}
