import {
  canonicalUri,
  fileName,
  type NamedDump,
  phrase,
  readRetrofit,
  VEHICLE_RECORD,
  type VehicleRecordParams,
  type VehicleRecordResult,
  vehicleRecord,
} from '../../../shared-core/src/index.js';
import type { Feature } from '../feature.js';
import type { Session } from '../session.js';
import { namedDump } from './jobCard.js';

/** The record of a vehicle folder: one page computed from the files that lie in it. */
export const recordOfVehicle: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<VehicleRecordResult, void>(VEHICLE_RECORD, ({ folder }: VehicleRecordParams) =>
      recordOf(session, canonicalUri(folder.endsWith('/') ? folder : `${folder}/`)),
    );
  },
};

async function recordOf(session: Session, folder: string): Promise<VehicleRecordResult> {
  const workspace = await session.list();
  const within = (uris: readonly string[]) => uris.filter((uri) => uri.startsWith(folder));
  const nameOf = (uri: string) => decodeURIComponent(uri.slice(folder.length));
  const dumps: NamedDump[] = [];
  for (const uri of within(workspace.dumps)) {
    const file = await session.analyzeFile(uri);
    if (file !== undefined) dumps.push({ ...namedDump(file), name: nameOf(uri) });
  }
  const retrofits: { name: string; title: string | undefined }[] = [];
  for (const uri of within(workspace.retrofits)) {
    const text = await session.files.readText(uri);
    retrofits.push({ name: nameOf(uri), title: text.ok ? readRetrofit(text.value).retrofit?.title : undefined });
  }
  const { text } = vehicleRecord({ dumps, retrofits, cards: within(workspace.cards).map(nameOf) }, session.say);
  return { title: session.say(phrase('Vehicle record: {0}', fileName(folder.slice(0, -1)))), page: text };
}
