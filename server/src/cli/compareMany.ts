import {
  compareMany,
  digitsOf,
  hex,
  labelText,
  lineName,
  listed,
  type ManyDumps,
  type Phrase,
  phrase,
  shownValue,
  whyNotComparable,
  wordsOrHex,
} from '../../../shared-core/src/index.js';
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
    const why = whyNotComparable(first.dump, dump);
    if (why !== undefined) throw new Failure(phrase('{0} and {1}: {2}', first.name, name, why));
  }
  const all = compareMany(
    first.dump,
    others.map(({ dump }) => dump),
  );
  return {
    status: all.isUnread ? 2 : all.identical ? 0 : 1,
    document: { content: pageOf(first, dumps, all) },
    json: {
      files,
      identical: all.identical,
      unmatched: all.unmatched.map((said) => said.map((one) => say(one))),
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

function pageOf({ dump }: Named, dumps: readonly Named[], { identical, options, bytes, unmatched }: ManyDumps): string {
  const left = bytes.filter(({ isTold }) => !isTold);
  const rows: readonly (readonly Phrase[])[] = [
    [listed([]), ...dumps.map(({ name }) => listed([name]))],
    ...options.map(({ option, values }) => [
      listed([option.title]),
      ...values.map((raw) => (raw === undefined ? phrase('cannot be read') : listed([shownValue(option, raw)]))),
    ]),
    ...left.map(({ label, byte, address, values }) => [
      address === undefined
        ? phrase('{0}, byte {1}', lineName(dump, label), byte)
        : phrase('Address {0}', hex(address, 4)),
      ...values.map((value) => listed([digitsOf(value, '--')])),
    ]),
  ];
  const ofOptions = bytes.filter(({ isTold, reason }) => isTold && reason === 'option').length;
  const ofSums = bytes.length - left.length - ofOptions;
  const says = [
    ...unmatched.flatMap((said, i) => said.map((one) => phrase('{0}: {1}', dumps[i]?.name ?? '', one))),
    ...(ofOptions > 0 ? [phrase('Bytes that differ by these options: {0}', ofOptions)] : []),
    ...(ofSums > 0 ? [phrase('Bytes of sums that follow: {0}', ofSums)] : []),
    ...(identical ? [phrase('All {0} are the same, byte for byte.', dumps.length)] : []),
  ];
  const table = options.length + left.length > 0 ? aligned(rows.map((row) => row.map(sayOnTerminal))) : [];
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
