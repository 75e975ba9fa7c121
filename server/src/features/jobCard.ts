import {
  type CardModule,
  cardName,
  compareDumps,
  done,
  fileName,
  headerValue,
  JOB_CARD,
  type JobCardParams,
  type JobCardResult,
  jobCard,
  listed,
  type NamedDump,
  namedDump,
  type Phrase,
  phrase,
  type Refusal,
  type Result,
  type Retrofit,
  type RetrofitChoice,
  readRetrofit,
  resolveUri,
  sameVehicle,
  whyNoCard,
} from '../../../shared-core/src/index.js';
import { answerOrRefuse, type Feature } from '../feature.js';
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
  { uri, retrofit: wanted }: JobCardParams,
  first: Analysis,
  time: string,
): Promise<JobCardResult | RetrofitChoice | Refusal> {
  const refuse = (why: Phrase): Refusal => ({ refused: session.say(why) });
  const why = whyNotInWork(first);
  if (why !== undefined) return refuse(why);
  const others = await otherModules(session, first);
  if (!others.ok) return refuse(others.why);
  const twice = claimedTwice(others.value);
  if (twice !== undefined) return refuse(twice);
  const files = [first, ...others.value];
  const fitting = wanted === null ? [] : await retrofitsFor(session, files);
  if (wanted === undefined && fitting.length > 1)
    return { retrofits: fitting.map((one) => ({ uri: one.uri, title: one.retrofit.title ?? fileName(one.uri) })) };
  const chosen = fitting.find((one) => wanted === undefined || one.uri === wanted);
  const modules = inOrderOf(chosen, files);
  const refused = whyNoCard(modules);
  if (refused !== undefined) return refuse(refused);
  const { text, open } = jobCard({ modules, retrofit: chosen?.retrofit, time }, session.say);
  const vehicle = headerValue(first.dump, 'vehicle') ?? headerValue(first.dump, 'vin') ?? fileName(uri);
  const title = session.say(phrase('Job card: {0}', vehicle));
  return { title, page: text, fileName: cardName(vehicle, time), open: open.map(session.say) };
}

function whyNotInWork({ dump, backup }: FileAnalysis): Phrase | undefined {
  if (headerValue(dump, 'seal') !== undefined)
    return phrase('This dump is a sealed backup itself. Open the dump in work, which names it as its backup.');
  if (backup.kind === 'none')
    return phrase('This dump names no backup. Make one first, or add a line "@backup NAME.cfgdump".');
  if (backup.kind === 'unreadable') return backup.why;
  return backup.kind === 'itself'
    ? phrase('The backup is this file itself. Name the dump as it was found.')
    : undefined;
}

/** The dumps in work of the vehicle's other modules, as far as they are changed. */
async function otherModules(session: Session, first: FileAnalysis): Promise<Result<readonly FileAnalysis[]>> {
  const found: FileAnalysis[] = [];
  for (const { file: uri, profileFile } of await session.files.unsealed()) {
    if (profileFile === first.profileFile) continue;
    const read = await session.analyzeFile(uri);
    if (!read.ok) return read;
    const other = read.value;
    if (other.backup.kind !== 'read' || !sameVehicle(first.dump, other.dump)) continue;
    if (!compareDumps(other.backup.dump, other.dump).identical) found.push(other);
  }
  return done(found);
}

function claimedTwice(files: readonly FileAnalysis[]): Phrase | undefined {
  for (const { profileFile, dump } of files) {
    const same = files.filter((other) => other.profileFile === profileFile);
    if (same.length > 1)
      return phrase(
        'Several changed dumps of this vehicle claim to be the module "{0}": {1}. Keep the one to be written; move the others.',
        dump.profile.title ?? fileName(profileFile ?? ''),
        listed(same.map(({ name }) => name)),
      );
  }
  return undefined;
}

/** The retrofits of the workspace that change one of these modules, as far as they can be read. */
async function retrofitsFor(session: Session, files: readonly FileAnalysis[]): Promise<readonly Chosen[]> {
  const { retrofits } = await session.list();
  const found: Chosen[] = [];
  for (const uri of retrofits) {
    const text = await session.files.readText(uri);
    if (!text.ok) continue;
    const { retrofit } = readRetrofit(text.value);
    const fits = retrofit?.changes.some(({ profile }) =>
      files.some(({ profileFile }) => profileFile === resolveUri(uri, profile)),
    );
    if (retrofit !== undefined && fits) found.push({ uri, retrofit });
  }
  return found;
}

/** The modules in the order in which the retrofit names them, then the others. */
function inOrderOf(chosen: Chosen | undefined, files: readonly FileAnalysis[]): readonly CardModule[] {
  const modules = files.map((file) => {
    const changes = chosen?.retrofit.changes ?? [];
    const at = changes.findIndex(({ profile }) => resolveUri(chosen?.uri ?? '', profile) === file.profileFile);
    return { at: at < 0 ? changes.length : at, module: moduleOf(file, changes[at]) };
  });
  return modules.sort((a, b) => a.at - b.at).map(({ module }) => module);
}

function moduleOf(file: FileAnalysis, change: CardModule['change']): CardModule {
  const after = namedDump(file);
  const { backup, backupFile = '' } = file;
  // What is wrong with the backup is marked in the dump that names it.
  const found: NamedDump =
    backup.kind === 'read' ? { name: fileName(backupFile), dump: backup.dump, problems: [] } : after;
  return { before: found, after, change };
}
