import { phrase } from '../../../shared-core/src/base/index.js';
import { sheetOfOptions, takeSheet } from '../../../shared-core/src/jobs/index.js';
import { Failure } from '../files/failure.js';
import { checkJson } from './checkJson.js';
import { type Call, command, type Outcome } from './command.js';
import { type Disk, uriOf } from './load.js';
import { OUT, WRITE } from './options.js';

/** The options of a profile as a sheet for people who keep lists in a spreadsheet. */
export const profileExport = command({
  name: 'profile export',
  arguments: 'PROFILE',
  does: phrase('the options of a profile as CSV: id, title, group, place, values in words, note'),
  options: OUT,
  run: exportSheet,
});

/** The same sheet back into its profile: titles, groups, words and notes may be other ones, places never. */
export const profileImport = command({
  name: 'profile import',
  arguments: 'CSV PROFILE',
  does: phrase('titles, groups, words and notes of a CSV into its profile; places and values stay'),
  options: { ...WRITE, ...OUT },
  exclusive: [['write', 'out']],
  run: importSheet,
});

async function exportSheet({ files: [name = ''], disk }: Call): Promise<Outcome> {
  const text = await disk.readText(name);
  await mustBeSound(disk, name);
  return { status: 0, document: { content: sheetOfOptions(text), inJson: true }, json: { file: name } };
}

async function importSheet({ files: [sheet = '', name = ''], disk }: Call): Promise<Outcome> {
  const csv = await disk.readText(sheet);
  const before = await disk.readText(name);
  const taken = takeSheet(before, csv, await disk.workspace.basesOf(uriOf(name), before));
  if (!taken.ok) throw new Failure(phrase('{0}: {1} Nothing was changed.', sheet, taken.why));
  const { text, changed, changesWords } = taken.value;
  return {
    status: 0,
    document: { content: text, of: { file: name, before }, inJson: true },
    says: [phrase('{0}: options changed: {1}', name, changed.length)],
    notes: changesWords
      ? [phrase('Words for values have changed: samples and retrofits that name the old ones must be changed too.')]
      : [],
    json: { changed },
  };
}

async function mustBeSound(disk: Disk, name: string): Promise<void> {
  const problem = (await checkJson(disk, name, 'profiles')).find(({ severity }) => severity === 'error');
  if (problem !== undefined)
    throw new Failure(phrase('{0} has problems; correct them first. {1}', name, problem.message));
}
