import type { WorkspaceEdit } from 'vscode-languageserver';
import {
  editsOf,
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
      return 'refused' in retrofit ? retrofit : vehiclesFor(session, uri, retrofit);
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

async function vehiclesFor(session: Session, uri: string, retrofit: Retrofit): Promise<readonly RetrofitVehicle[]> {
  return byVehicle(await filesFor(session, uri, retrofit)).map(({ id, files }) => ({
    id,
    title: files.find(({ vehicle }) => vehicle !== undefined)?.vehicle ?? id,
    dumps: files.map((file) => file.uri),
  }));
}

/** Dumps by vehicle: by their VINs where both have one, else by what people call it. */
function byVehicle(files: readonly VehicleFile[]): readonly { id: string; files: readonly VehicleFile[] }[] {
  const groups: VehicleFile[][] = [];
  for (const file of files) {
    const group = groups.find((one) => one.some((other) => isSameVehicle(file, other)));
    if (group === undefined) groups.push([file]);
    else group.push(file);
  }
  return groups.map((group) => {
    const [first] = group as [VehicleFile];
    return { id: group.find(({ vin }) => vin)?.vin ?? first.vehicle ?? fileName(first.uri), files: group };
  });
}

function isSameVehicle(one: VehicleFile, other: VehicleFile): boolean {
  if (one.vin !== undefined && other.vin !== undefined) return one.vin.toUpperCase() === other.vin.toUpperCase();
  return one.vehicle !== undefined && one.vehicle.toUpperCase() === other.vehicle?.toUpperCase();
}

async function planFor(
  session: Session,
  { uri, vehicle }: PlanRetrofitParams,
  retrofit: Retrofit,
): Promise<PlanRetrofitResult> {
  const files = byVehicle(await filesFor(session, uri, retrofit)).find(({ id }) => id === vehicle)?.files ?? [];
  const explained = new Map<string, ExplainedFile>();
  const atHand = new Map<string, ModuleAtHand>();
  for (const { profile: path } of retrofit.changes) {
    const profileUri = resolveUri(uri, path);
    const dumps: VehicleDump[] = [];
    for (const file of files.filter((one) => one.profileUri === profileUri)) {
      const found = await session.explainFile(file.uri);
      if (found === undefined) continue;
      explained.set(file.uri, found);
      const { dump, backup, modules } = found;
      dumps.push({ file: file.uri, name: fileName(file.uri), dump, backup, modules });
    }
    atHand.set(path, { profile: (await session.readProfileOf(profileUri))?.profile, dumps: inWork(dumps) });
  }
  const plan = planRetrofit(retrofit, (path) => atHand.get(path) ?? { profile: undefined, dumps: [] });
  const changed = plan.kind === 'planned' ? plan.modules.filter(({ writes }) => writes.length > 0) : [];
  return {
    title: retrofit.title ?? fileName(uri),
    page: session.say(planPage(retrofit, vehicle, plan)),
    edit: changed.length === 0 ? null : editOf(changed, explained),
    possible: plan.kind === 'planned',
  };
}

function filesFor(session: Session, uri: string, { changes }: Retrofit): Promise<readonly VehicleFile[]> {
  return session.dumpsOf(changes.map(({ profile }) => resolveUri(uri, profile)));
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
