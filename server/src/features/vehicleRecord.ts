import type { LoadedDump } from '../../../shared-core/src/checks/index.js';
import { namedDump, type RecordInput, vehicleRecord, withUnchecked } from '../../../shared-core/src/jobs/index.js';
import type { Refusal } from '../../../shared-core/src/protocol/common.js';
import {
  VEHICLE_RECORD,
  type VehicleRecordParams,
  type VehicleRecordResult,
} from '../../../shared-core/src/protocol/retrofit.js';
import { canonicalUri, fileName, relativePath, resolveUri } from '../../../shared-core/src/workspace/index.js';
import { cutShortFor } from '../cutShort.js';
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
  await session.files.lookAgain();
  const found = await session.list(folder);
  const [unlisted] = found.unlisted;
  if (unlisted !== undefined) return { refused: session.say(unlisted) };
  const nameOf = (uri: string) => relativePath(folder, uri) ?? fileName(uri);
  const read: LoadedDump[] = [];
  for (const uri of found.dumps) {
    const file = await session.analyzeFile(uri);
    if (!file.ok) return { refused: session.say(file.why) };
    read.push(file.value);
  }
  const cutShort = await cutShortFor(session, read);
  const dumps = read.map((one) => withUnchecked(namedDump(nameOf(one.file), one), cutShort(one.file)));
  const retrofits: RecordInput['retrofits'][number][] = [];
  for (const uri of found.retrofits) {
    const file = await session.files.readFittingRetrofit(uri, nameOf(uri));
    const changes = file.kind === 'sound' ? file.retrofit.changes : [];
    retrofits.push({
      name: nameOf(uri),
      file,
      profileFiles: changes.map(({ profile }) => resolveUri(uri, profile)),
    });
  }
  const { text, title } = vehicleRecord(
    { dumps, retrofits, cards: found.cards.map(nameOf), now: new Date().toISOString() },
    session.say,
  );
  return { title: session.say(title), page: text };
}
