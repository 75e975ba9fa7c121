import {
  labelText,
  linesToRestore,
  phrase,
  planRestore,
  readLabel,
  textAfter,
  textOfRows,
  whyNoRestore,
} from '../../../shared-core/src/index.js';
import { type Call, command, type Outcome } from './command.js';
import { Failure } from './failure.js';
import { load } from './load.js';
import { OUT, PROFILE, UNCONFIRMED, WRITE } from './options.js';

const OPTIONS = { ...WRITE, ...OUT, ...PROFILE, ...UNCONFIRMED };

/** The way back: all lines that differ, or those named, hold again what the backup holds, proved byte for byte. */
export const restore = command({
  name: 'restore',
  arguments: 'FILE [LINE…]',
  does: phrase('lines as the backup holds them, proved byte for byte'),
  options: OPTIONS,
  exclusive: [['write', 'out']],
  run: restoreFile,
});

function restoreFile({ files, profile, disk }: Call<typeof OPTIONS>): Outcome {
  const [file = '', ...named] = files;
  const { dump, backup } = load(disk, file, profile);
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
  const left = linesToRestore(back.after, backup.dump).length;
  const done =
    left === 0
      ? phrase('{0}: every byte is as in the backup', file)
      : phrase('{0}: lines as in the backup again: {1}; lines that still differ: {2}', file, chosen.length, left);
  return {
    status: 0,
    says: [done],
    document: {
      content: textAfter(dump.rows, back.edits),
      form: dump.notation.id,
      of: { file, before: textOfRows(dump.rows) },
      inJson: true,
    },
    json: { file, lines: chosen.map(labelText), left },
  };
}
