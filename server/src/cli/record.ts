import { readdirSync } from 'node:fs';
import { basename, join } from 'node:path';
import { kindOf, type NamedDump, phrase, readRetrofit, vehicleRecord } from '../../../shared-core/src/index.js';
import { named } from './card.js';
import { type Call, command, type Outcome } from './command.js';
import { Failure, reasonOf } from './failure.js';
import { OUT, PROFILE } from './options.js';
import { say } from './say.js';

const OPTIONS = { ...PROFILE, ...OUT };

/** The record of a vehicle folder, computed from what lies in it. */
export const record = command({
  name: 'record',
  arguments: 'FOLDER',
  does: phrase('the record of a vehicle: its dumps, what changed between them, what is open'),
  options: OPTIONS,
  run: recordFolder,
});

async function recordFolder({ files, profile, disk }: Call<typeof OPTIONS>): Promise<Outcome> {
  const [folder = ''] = files;
  const names = namesIn(folder);
  const ofKind = (kind: ReturnType<typeof kindOf>) => names.filter((name) => kindOf(name) === kind);
  const dumps: NamedDump[] = [];
  for (const name of ofKind('dumps')) dumps.push(named(await disk.load(join(folder, name), profile)));
  const retrofits: { name: string; title: string | undefined }[] = [];
  for (const name of ofKind('retrofits')) {
    const { retrofit } = readRetrofit(await disk.readText(join(folder, name)));
    retrofits.push({ name, title: retrofit?.title });
  }
  const { text, open } = vehicleRecord({ dumps, retrofits, cards: ofKind('cards') }, (said) => say(said));
  return {
    status: open.length === 0 ? 0 : 1,
    document: { content: text, inJson: true },
    json: { dumps: dumps.map(({ name }) => basename(name)), open: open.map((said) => say(said)) },
  };
}

function namesIn(folder: string): readonly string[] {
  try {
    const entries = readdirSync(folder, { withFileTypes: true }).filter((entry) => entry.isFile());
    return entries.map(({ name }) => name).sort();
  } catch (error) {
    throw new Failure(phrase('{0} is no folder that can be read: {1}', folder, reasonOf(error)));
  }
}
