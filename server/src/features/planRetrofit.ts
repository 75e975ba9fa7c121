import { planQuestion } from '../../../shared-core/src/actions/index.js';
import { done, listed, phrase, type Result, refuse, sentences, valueIn } from '../../../shared-core/src/base/index.js';
import {
  type ModulePlan,
  type NamedProfile,
  type Plan,
  type PlanRefusal,
  planPage,
  planRetrofitInSteps,
  type Retrofit,
  type UnnamedDump,
  type VehicleAtHand,
  type VehicleDump,
  vehiclesWith,
  withRefusals,
} from '../../../shared-core/src/jobs/index.js';
import type { Refusal } from '../../../shared-core/src/protocol/common.js';
import {
  PLAN_RETROFIT,
  type PlanRetrofitParams,
  type PlanRetrofitResult,
  RETROFIT_VEHICLES,
  type RetrofitVehicle,
} from '../../../shared-core/src/protocol/retrofit.js';
import { byModule, fileName, resolveUri, undecidedAmong } from '../../../shared-core/src/workspace/index.js';
import type { Feature } from '../feature.js';
import type { CancellationToken, WorkspaceEdit } from '../lsp.js';
import type { FileAnalysis, Session } from '../session.js';
import { inSlices } from '../slices.js';
import { toConsent } from '../toChange.js';
import { toFilesEdit, toLspEdits } from '../toLsp.js';

/** What a retrofit changes in all modules of a vehicle, as a page and as one edit. */
export const planOfRetrofit: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<readonly RetrofitVehicle[] | Refusal, void>(RETROFIT_VEHICLES, async ({ uri }) => {
      const retrofit = await readIt(session, uri);
      if ('refused' in retrofit) return retrofit;
      const vehicles = await vehiclesFor(session, uri, retrofit);
      if (!vehicles.ok) return { refused: session.say(vehicles.why) };
      const { profiles } = vehicles.value;
      return vehicles.value.vehicles.map(({ dumps, ...called }) => ({
        ...called,
        dumps: dumps.map(({ file }) => file),
        changed: dumps.filter(({ profileFile }) => profiles.includes(profileFile)).map(({ file }) => file),
      }));
    });
    connection.onRequest<PlanRetrofitResult | Refusal, void>(
      PLAN_RETROFIT,
      async (params: PlanRetrofitParams, cancel: CancellationToken) => {
        const retrofit = await readIt(session, params.uri);
        return 'refused' in retrofit ? retrofit : planFor(session, params, retrofit, cancel);
      },
    );
  },
};

async function readIt(session: Session, uri: string): Promise<Retrofit | Refusal> {
  await session.files.lookAgain();
  const file = await session.files.readRetrofit(uri);
  return file.kind === 'sound' ? file.retrofit : { refused: session.say(file.why) };
}

/**
 * The vehicles of the workspace of which a module is here that the retrofit changes. Refused where a file cannot be read:
 * it may be a module of one of them.
 */
async function vehiclesFor(session: Session, uri: string, { changes }: Retrofit): Promise<Result<Found>> {
  const { dumps, unnamed, unread } = await session.files.unsealed();
  const profiles = changes.map(({ profile }) => resolveUri(uri, profile));
  if (unread.length > 0) return refuse(sentences(unread));
  const vehicles = vehiclesWith(await byModule(session.files, dumps, profiles), profiles);
  return done({ vehicles, profiles, found: [...dumps, ...unnamed] });
}

interface Found {
  readonly vehicles: readonly VehicleAtHand[];
  /** Those that the retrofit names. */
  readonly profiles: readonly string[];
  readonly found: readonly UnnamedDump[];
}

async function planFor(
  session: Session,
  { uri, vehicle, ...accepted }: PlanRetrofitParams,
  retrofit: Retrofit,
  cancel: CancellationToken,
): Promise<PlanRetrofitResult | Refusal> {
  const none = { id: vehicle, title: vehicle, dumps: [] };
  const vehicles = await vehiclesFor(session, uri, retrofit);
  if (!vehicles.ok) return { refused: session.say(vehicles.why) };
  const found = vehicles.value.vehicles.find(({ id }) => id === vehicle) ?? none;
  const explained = new Map<string, FileAnalysis>();
  const dumps: VehicleDump[] = [];
  for (const { file, name, profileFile } of found.dumps) {
    const read = await session.analyzeFile(file);
    if (!read.ok) return { refused: session.say(read.why) };
    const one = read.value;
    explained.set(file, one);
    dumps.push({ ...one, name, profileFile });
  }
  const profiles = new Map<string, NamedProfile>();
  for (const { profile: path } of retrofit.changes) {
    const file = resolveUri(uri, path);
    profiles.set(path, { file, profile: valueIn(await session.files.readProfile(file))?.profile });
  }
  const profileAt = (path: string) => profiles.get(path) ?? { file: path, profile: undefined };
  const undecided = (await undecidedAmong(session.files, vehicles.value.found))(found);
  const steps = planRetrofitInSteps(retrofit, profileAt, dumps, toConsent(accepted), undecided);
  const plan = writable(session, await inSlices(steps, cancel));
  const modules = plan.kind === 'planned' ? plan.modules : [];
  const written = modules.filter(({ change }) => change.edits.length > 0);
  const asks = plan.kind === 'refused' ? asksOf(plan.refusals) : undefined;
  if (plan.kind === 'refused' && asks !== undefined)
    return {
      refused: session.say(
        listed(
          plan.refusals.map(({ why }) => why),
          ' ',
        ),
      ),
      asks,
    };
  const { inFull, cautions } = planQuestion(modules);
  return {
    title: retrofit.title ?? fileName(uri),
    page: session.say(planPage(retrofit, found, plan)),
    edit: written.length === 0 ? null : editOf(session, written, explained),
    possible: plan.kind === 'planned',
    lackBackup:
      plan.kind === 'planned' ? [] : dumps.flatMap(({ file, backup }) => (backup.kind === 'none' ? file : [])),
    inFull: inFull.map(session.say),
    cautions: cautions.map(session.say),
  };
}

/** A plan is one edit over texts: raw bytes are one only while they are open. */
function writable(session: Session, plan: Plan): Plan {
  if (plan.kind === 'refused') return plan;
  const refusals = plan.modules
    .filter(({ file, change }) => change.edits.length > 0 && session.isClosedRaw(file))
    .map(({ name }) => ({
      module: name,
      why: phrase('It holds raw bytes. Open it as dump text first, then plan again.'),
    }));
  return withRefusals(plan, refusals);
}

/** What a person may accept so that the plan can be made; undefined where something else is in its way too. */
function asksOf(refusals: readonly PlanRefusal[]): Refusal['asks'] {
  const asks = refusals.map((refusal) => refusal.asks);
  if (asks.some((ask) => ask === undefined)) return undefined;
  if (asks.some((ask) => ask?.kind === 'unconfirmed')) return { kind: 'unconfirmed' };
  return {
    kind: 'despite',
    options: [...new Set(asks.flatMap((ask) => (ask?.kind === 'despite' ? ask.options : [])))],
  };
}

/** One edit over all modules, of the versions that were planned with. */
function editOf(
  session: Session,
  modules: readonly ModulePlan[],
  explained: ReadonlyMap<string, FileAnalysis>,
): WorkspaceEdit {
  return toFilesEdit(
    session,
    modules.map(({ file, change }) => ({
      textDocument: { uri: file, version: explained.get(file)?.version ?? null },
      edits: toLspEdits(change.edits),
    })),
  );
}
