import { linesToRestore, restore as restoreLines, soundBackup } from '../../../shared-core/src/actions/index.js';
import { listed, phrase } from '../../../shared-core/src/base/index.js';
import { type Label, labelText } from '../../../shared-core/src/format/index.js';
import { calledLine, labelMeant, labelOfRow } from '../../../shared-core/src/model/index.js';
import { Failure } from '../files/failure.js';
import { type Call, command, type Outcome } from './command.js';
import { FROM, OUT, PROFILE, UNCONFIRMED, WRITE } from './options.js';
import { consentOf, documentOf, refusal } from './repair.js';
import { say } from './say.js';

const OPTIONS = { ...WRITE, ...OUT, ...FROM, ...PROFILE, ...UNCONFIRMED };

/** All lines that differ, or those named, hold again what the backup holds, proved byte for byte. */
export const restore = command({
  name: 'restore',
  arguments: 'FILE [LINE…]',
  does: phrase('lines as the backup holds them, proved byte for byte'),
  options: OPTIONS,
  places: ([file = '']) => [file],
  exclusive: [['write', 'out']],
  run: restoreFile,
});

/** Whether a person may call a record so: by its address, which is written in hex. */
function isAt(label: Label, line: string): boolean {
  const address = typeof label === 'number' ? label : Number.parseInt(label, 16);
  return /^(?:0x)?[0-9A-F]+$/i.test(line) && address === Number.parseInt(line, 16);
}

async function restoreFile(call: Call<typeof OPTIONS>): Promise<Outcome> {
  const [name = '', ...named] = call.files;
  const loaded = await call.disk.loadWithDependents(name, call.profile);
  const { dump } = loaded;
  const backup = soundBackup(loaded);
  if (!backup.ok) throw new Failure(phrase('{0}: {1} Nothing was changed.', name, backup.why));
  const unlike = linesToRestore(dump, backup.value);
  // What only one of the two has differs.
  const labels = [...new Set([...unlike, ...dump.rows.flatMap((row) => labelOfRow(row) ?? [])])];
  const meant = (line: string) =>
    dump.layout.kind === 'image' ? labels.find((label) => isAt(label, line)) : labelMeant(dump, labels, line);
  const wanted = named.map((line) => {
    const found = meant(line);
    if (found !== undefined && unlike.includes(found)) return found;
    throw new Failure(
      found !== undefined
        ? phrase('{0}: line {1} does not differ from the backup.', name, line)
        : phrase('{0}: there is no line {1}.', name, line),
    );
  });
  const chosen = named.length === 0 ? undefined : [...new Set(wanted)];
  const restored = restoreLines(loaded, chosen, consentOf(call));
  if (!restored.ok) throw new Failure(refusal(name, restored));
  const { left, remarks, cautions, sums, alongside } = restored.value;
  const isAsInBackup = left.length + remarks.length === 0;
  // What is written to another file leaves the dump itself as it is.
  const result = call.out ?? name;
  const done = isAsInBackup
    ? phrase('{0}: every byte is as in the backup', result)
    : phrase(
        '{0}: lines as in the backup again: {1}; lines that still differ: {2}',
        ...[result, restored.value.labels.length, left.length],
      );
  return {
    status: (named.length === 0 && !isAsInBackup) || sums.left.length > 0 ? 1 : 0,
    says: [
      done,
      ...remarks,
      ...(alongside.length === 0
        ? []
        : [
            phrase(
              'Changed with them, as copies or sums: {0}',
              listed(alongside.map((label) => calledLine(dump, label))),
            ),
          ]),
    ],
    document: documentOf(loaded, restored.value),
    cautions,
    notes: sums.left.map((said) => phrase('{0}: {1}', result, said)),
    json: {
      file: name,
      lines: restored.value.labels.map(labelText),
      left: left.length,
      alongside: alongside.map(labelText),
      wrongSums: sums.left.map((said) => say(said)),
    },
  };
}
