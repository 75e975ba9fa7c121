import {
  canonicalUri,
  fileName,
  type NamedDump,
  namedDump,
  phrase,
  type Refusal,
  readRetrofit,
  relativePath,
  VEHICLE_RECORD,
  type VehicleRecordParams,
  type VehicleRecordResult,
  vehicleRecord,
} from '../../../shared-core/src/index.js';
import type { Feature } from '../feature.js';
import type { Session } from '../session.js';

/** The record of a vehicle folder: one page computed from the files that lie in it. */
export const recordOfVehicle: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<VehicleRecordResult | Refusal, void>(VEHICLE_RECORD, ({ folder }: VehicleRecordParams) =>
      recordOf(session, canonicalUri(folder.endsWith('/') ? folder : `${folder}/`)),
    );
  },
};

async function recordOf(session: Session, folder: string): Promise<VehicleRecordResult | Refusal> {
  const found = await session.list(folder);
  const [unlisted] = found.unlisted;
  if (unlisted !== undefined) return { refused: session.say(unlisted) };
  const nameOf = (uri: string) => relativePath(folder, uri) ?? fileName(uri);
  const dumps: NamedDump[] = [];
  for (const uri of found.dumps) {
    const file = await session.analyzeFile(uri);
    if (!file.ok) return { refused: session.say(file.why) };
    dumps.push(namedDump(file.value, nameOf(uri)));
  }
  const retrofits: { name: string; title: string | undefined }[] = [];
  for (const uri of found.retrofits) {
    const text = await session.files.readText(uri);
    retrofits.push({ name: nameOf(uri), title: text.ok ? readRetrofit(text.value).retrofit?.title : undefined });
  }
  const { text } = vehicleRecord({ dumps, retrofits, cards: found.cards.map(nameOf) }, session.say);
  return { title: session.say(phrase('Vehicle record: {0}', fileName(folder.slice(0, -1)))), page: text };
}
