import {
  labelText,
  linesToRestore,
  phrase,
  planRestore,
  readLabel,
  textAfter,
  whyNoRestore,
} from '../../../shared-core/src/index.js';
import type { Call, Outcome } from './command.js';
import { Failure } from './failure.js';
import { STDIN, writeWhole } from './files.js';
import { openFiles } from './load.js';
import { say } from './say.js';

/** The way back: all lines that differ, or those named, hold again what the backup holds, proved byte for byte. */
export async function restore({ files, profile, write, out }: Call): Promise<Outcome> {
  const [file, ...named] = files;
  if (file === undefined) throw new Failure(phrase('Use: countersum restore FILE [LINE …]'));
  const { dump, backup } = await openFiles([file]).load(file, profile);
  if (backup.kind === 'unreadable') throw new Failure(backup.why);
  if (backup.kind === 'itself')
    throw new Failure(
      phrase('{0}: the backup that it names is this file itself. Name the dump as it was found.', file),
    );
  if (backup.kind !== 'read')
    throw new Failure(phrase('{0} names no backup, so there is no way back. It needs "@backup NAME".', file));
  const unfit = whyNoRestore(dump, backup.dump);
  if (unfit !== undefined) throw new Failure(unfit);
  const unlike = linesToRestore(dump, backup.dump);
  const wanted = named.map((name) => {
    const found = unlike.find((label) => labelText(label) === name || label === readLabel(name));
    if (found === undefined) throw new Failure(phrase('{0}: line {1} does not differ from the backup.', file, name));
    return found;
  });
  const chosen = named.length === 0 ? unlike : [...new Set(wanted)];
  const back = planRestore(dump, backup.dump, chosen);
  if (back.kind === 'refused') throw new Failure(phrase('{0}: {1} Nothing was changed.', file, back.why));
  const text = textAfter(dump.rows, back.edits);
  const target = out ?? (write ? file : undefined);
  if (target === STDIN) throw new Failure(phrase('Standard input cannot be written to. Give --out FILE.'));
  if (target !== undefined) writeWhole(target, text);
  const left = linesToRestore(back.after, backup.dump).length;
  const done =
    left === 0
      ? phrase('{0}: every byte is as in the backup', file)
      : phrase('{0}: lines as in the backup again: {1}; lines that still differ: {2}', file, chosen.length, left);
  return {
    status: 0,
    text: target === undefined ? text : say(done),
    json: { file, ...(target === undefined && { text }), lines: chosen.map(labelText), left },
  };
}
