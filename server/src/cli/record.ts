import { readdirSync } from 'node:fs';
import { basename, join } from 'node:path';
import { kindOf, phrase, readRetrofit, vehicleRecord } from '../../../shared-core/src/index.js';
import { named } from './card.js';
import { type Call, command, type Outcome } from './command.js';
import { Failure, reasonOf } from './failure.js';
import { load } from './load.js';
import { OUT, PROFILE } from './options.js';
import { otherModulesAmong } from './otherModules.js';
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

function recordFolder({ files, profile, disk }: Call<typeof OPTIONS>): Outcome {
  const [folder = ''] = files;
  const names = namesIn(folder);
  const ofKind = (kind: ReturnType<typeof kindOf>) => names.filter((name) => kindOf(name) === kind);
  const modulesOf = otherModulesAmong(disk, []);
  const dumps = ofKind('dumps').map((name) => named(load(disk, join(folder, name), profile), modulesOf));
  const retrofits = ofKind('retrofits').map((name) => ({
    name,
    title: readRetrofit(disk.readText(join(folder, name))).retrofit?.title,
  }));
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
