import { digitsOf, hex, listed, type Phrase, phrase } from '../../../shared-core/src/base/index.js';
import { compareMany, type ManyDumps, manyInWords } from '../../../shared-core/src/compare/index.js';
import { labelText } from '../../../shared-core/src/format/index.js';
import { whyNotOneKind, wordsOrHex } from '../../../shared-core/src/model/index.js';
import { Failure } from '../files/failure.js';
import type { Outcome } from './command.js';
import type { Disk } from './load.js';
import { say, sayOnTerminal } from './say.js';

type Named = Awaited<ReturnType<Disk['load']>>;

/** What differs between some dumps of one kind of module, in a table: places and dumps. */
export async function compareFilesWithFirst(
  files: readonly string[],
  profile: string | undefined,
  disk: Disk,
): Promise<Outcome> {
  const dumps = await disk.loadTogether(files, profile, 'differences');
  const [first, ...others] = dumps;
  if (first === undefined) throw new Failure(phrase('No dump was named.'));
  for (const { name, dump } of others) {
    const why = whyNotOneKind(first.dump, dump);
    if (why !== undefined) throw new Failure(phrase('{0} and {1}: {2}', first.name, name, why));
  }
  const all = compareMany(
    first.dump,
    others.map(({ dump }) => dump),
  );
  return {
    status: all.isUnread ? 2 : all.identical ? 0 : 1,
    document: { content: pageOf(dumps, all) },
    json: {
      files,
      identical: all.identical,
      unmatched: all.unmatched.map((said) => said.map((one) => say(one))),
      caveats: all.caveats.map((one) => (one === undefined ? null : say(one))),
      options: all.options.map(({ option, values }) => ({
        id: option.id,
        title: option.title,
        values: values.map((raw) => (raw === undefined ? null : wordsOrHex(option, raw))),
      })),
      bytes: all.bytes.map(({ label, byte, address, values, reason }) => ({
        label: labelText(label),
        byte,
        ...(address === undefined ? {} : { address: hex(address, 4) }),
        values: values.map((value) => digitsOf(value, '--')),
        reason,
      })),
    },
  };
}

function pageOf(dumps: readonly Named[], all: ManyDumps): string {
  const { rows, says } = manyInWords(dumps, all);
  const lines: readonly (readonly Phrase[])[] = [
    [listed([]), ...dumps.map(({ name }) => listed([name]))],
    ...rows.map(({ title, values }) => [title, ...values]),
  ];
  const table = rows.length > 0 ? aligned(lines.map((line) => line.map(sayOnTerminal))) : [];
  return [...table, ...says.map(sayOnTerminal)].map((line) => `${line}\n`).join('');
}

function aligned(rows: readonly (readonly string[])[]): readonly string[] {
  const widths = (rows[0] ?? []).map((_, column) => Math.max(...rows.map((row) => row[column]?.length ?? 0)));
  return rows.map((row) =>
    row
      .map((cell, column) => cell.padEnd(widths[column] ?? 0))
      .join('  ')
      .trimEnd(),
  );
}
