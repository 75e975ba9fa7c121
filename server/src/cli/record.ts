import { readdirSync } from 'node:fs';
import { basename, join } from 'node:path';
import { kindOf, phrase, readRetrofit, vehicleRecord } from '../../../shared-core/src/index.js';
import { named } from './card.js';
import type { Call, Outcome } from './command.js';
import { Failure } from './failure.js';
import { readText, writeWhole } from './files.js';
import { load } from './load.js';
import { otherModulesAmong } from './otherModules.js';
import { say } from './say.js';

/** The record of a vehicle folder, computed from what lies in it. */
export function record({ files, profile, out }: Call): Outcome {
  const [folder, ...others] = files;
  if (folder === undefined || others.length > 0) throw new Failure(phrase('Use: countersum record FOLDER'));
  const names = namesIn(folder);
  const ofKind = (kind: ReturnType<typeof kindOf>) => names.filter((name) => kindOf(name) === kind);
  const modulesOf = otherModulesAmong([]);
  const dumps = ofKind('dumps').map((name) => named(load(join(folder, name), profile), modulesOf));
  const retrofits = ofKind('retrofits').map((name) => ({
    name,
    title: readRetrofit(readText(join(folder, name))).retrofit?.title,
  }));
  const { text, open, isWhole } = vehicleRecord({ dumps, retrofits, cards: ofKind('cards') }, (said) => say(said));
  if (out !== undefined) writeWhole(out, text);
  const matters = open.map((said) => say(said));
  return {
    status: isWhole ? (matters.length === 0 ? 0 : 1) : 2,
    text: out === undefined ? text : '',
    json: { ...(out === undefined && { text }), dumps: dumps.map(({ name }) => basename(name)), open: matters },
  };
}

function namesIn(folder: string): readonly string[] {
  try {
    const entries = readdirSync(folder, { withFileTypes: true }).filter((entry) => entry.isFile());
    return entries.map(({ name }) => name).sort();
  } catch (error) {
    throw new Failure(
      phrase('{0} is no folder that can be read: {1}', folder, (error as { code?: string }).code ?? ''),
    );
  }
}
