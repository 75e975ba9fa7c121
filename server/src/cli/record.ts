import { join } from 'node:path';
import { phrase, readRetrofit, vehicleRecord } from '../../../shared-core/src/index.js';
import { named } from './card.js';
import type { Call, Outcome } from './command.js';
import { Failure } from './failure.js';
import { writeWhole } from './files.js';
import { type Kind, openFiles } from './load.js';
import { say } from './say.js';

/** The record of a vehicle folder, computed from what lies in it. */
export async function record({ files: given, profile, out }: Call): Promise<Outcome> {
  const [folder, ...others] = given;
  const files = openFiles([]);
  if (folder === undefined || others.length > 0) throw new Failure(phrase('Use: countersum record FOLDER'));
  const ofKind = (kind: Kind) => files.within(folder, kind);
  const dumps = [];
  for (const name of await ofKind('dumps'))
    dumps.push({ ...named(await files.load(join(folder, name), profile)), name });
  const retrofits = [];
  for (const name of await ofKind('retrofits')) {
    const { retrofit } = readRetrofit(await files.readText(join(folder, name)));
    retrofits.push({ name, title: retrofit?.title });
  }
  const { text, open } = vehicleRecord({ dumps, retrofits, cards: await ofKind('cards') }, (said) => say(said));
  if (out !== undefined) writeWhole(out, text);
  const matters = open.map((said) => say(said));
  return {
    status: matters.length === 0 ? 0 : 1,
    text: out === undefined ? text : '',
    json: { ...(out === undefined && { text }), dumps: dumps.map(({ name }) => name), open: matters },
  };
}
