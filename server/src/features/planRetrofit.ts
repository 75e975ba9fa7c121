import type { WorkspaceEdit } from 'vscode-languageserver';
import {
  byVehicle,
  editsOf,
  headerValue,
  inWork,
  type ModuleAtHand,
  type ModulePlan,
  PLAN_RETROFIT,
  type PlanRetrofitParams,
  type PlanRetrofitResult,
  phrase,
  planPage,
  planRetrofit,
  RETROFIT_VEHICLES,
  type Refusal,
  type Retrofit,
  type RetrofitVehicle,
  readRetrofit,
  type VehicleDump,
} from '../../../shared-core/src/index.js';
import type { Feature } from '../feature.js';
import type { ExplainedFile, Session } from '../session.js';
import { toLspEdits } from '../toLsp.js';
import { fileName, resolveUri } from '../uri.js';
import type { VehicleFile } from '../vehicle.js';

/** What a retrofit changes in all modules of a vehicle, as a page and as one edit. */
export const planOfRetrofit: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<readonly RetrofitVehicle[] | Refusal, void>(RETROFIT_VEHICLES, async ({ uri }) => {
      const retrofit = await readIt(session, uri);
      if ('refused' in retrofit) return retrofit;
      const vehicles = await vehiclesFor(session, uri, retrofit);
      return vehicles.map(({ id, title, files }) => ({ id, title, dumps: files.map((file) => file.uri) }));
    });
    connection.onRequest<PlanRetrofitResult | Refusal, void>(PLAN_RETROFIT, async (params: PlanRetrofitParams) => {
      const retrofit = await readIt(session, params.uri);
      return 'refused' in retrofit ? retrofit : planFor(session, params, retrofit);
    });
  },
};

async function readIt(session: Session, uri: string): Promise<Retrofit | Refusal> {
  const text = await session.readText(uri);
  const { retrofit, problems } = readRetrofit(text ?? '');
  const [first] = problems;
  if (text === undefined) return { refused: session.say(phrase('The retrofit cannot be read.')) };
  if (retrofit !== undefined && first === undefined) return retrofit;
  const message = phrase('The retrofit has problems; right them first. {0}', first?.message ?? '');
  return { refused: session.say(message) };
}

interface VehicleOfRetrofit {
  readonly id: string;
  readonly title: string;
  readonly files: readonly VehicleFile[];
}

/** The vehicles of the workspace of which a module is here that the retrofit changes, with all dumps of each. */
async function vehiclesFor(
  session: Session,
  uri: string,
  { changes }: Retrofit,
): Promise<readonly VehicleOfRetrofit[]> {
  const profiles = changes.map(({ profile }) => resolveUri(uri, profile));
  return byVehicle(await session.unsealed())
    .filter((files) => files.some(({ profileUri }) => profiles.includes(profileUri)))
    .map((files) => {
      const value = (name: 'vin' | 'vehicle') => files.flatMap(({ dump }) => headerValue(dump, name) ?? [])[0];
      const id = value('vin') ?? value('vehicle') ?? fileName(files[0]?.uri ?? '');
      return { id, title: value('vehicle') ?? id, files };
    });
}

async function planFor(
  session: Session,
  { uri, vehicle }: PlanRetrofitParams,
  retrofit: Retrofit,
): Promise<PlanRetrofitResult> {
  const files = (await vehiclesFor(session, uri, retrofit)).find(({ id }) => id === vehicle)?.files ?? [];
  const explained = new Map<string, ExplainedFile>();
  const byProfile = new Map<string, VehicleDump[]>();
  for (const { uri: file, profileUri } of files) {
    const found = await session.explainFile(file);
    if (found === undefined) continue;
    explained.set(file, found);
    const { dump, profile, backup, modules } = found;
    const one = { file, name: fileName(file), dump, profile, backup, modules };
    byProfile.set(profileUri, [...(byProfile.get(profileUri) ?? []), one]);
  }
  const atHand = new Map<string, ModuleAtHand>();
  for (const { profile: path } of retrofit.changes) {
    const profileUri = resolveUri(uri, path);
    const { profile } = (await session.readProfileOf(profileUri)) ?? {};
    atHand.set(path, { profile, dumps: byProfile.get(profileUri) ?? [] });
  }
  const changed = retrofit.changes.map(({ profile }) => resolveUri(uri, profile));
  const others = [...byProfile].flatMap(([profileUri, dumps]) => (changed.includes(profileUri) ? [] : inWork(dumps)));
  const plan = planRetrofit(retrofit, (path) => atHand.get(path) ?? { profile: undefined, dumps: [] }, others);
  const written = plan.kind === 'planned' ? plan.modules.filter(({ writes }) => writes.length > 0) : [];
  return {
    title: retrofit.title ?? fileName(uri),
    page: session.say(planPage(retrofit, vehicle, plan)),
    edit: written.length === 0 ? null : editOf(written, explained),
    possible: plan.kind === 'planned',
  };
}

/** One edit over all modules, of the versions that were planned with. */
function editOf(modules: readonly ModulePlan[], explained: ReadonlyMap<string, ExplainedFile>): WorkspaceEdit {
  return {
    documentChanges: modules.map(({ file, before, writes }) => ({
      textDocument: { uri: file, version: explained.get(file)?.version ?? null },
      edits: toLspEdits(editsOf(before, writes)),
    })),
  };
}
