import { digitsOf, hex, phrase } from '../../../shared-core/src/base/index.js';
import {
  type ByteDifference,
  type Comparison,
  compareDumps,
  comparisonInWords,
  type LineDifference,
} from '../../../shared-core/src/compare/index.js';
import { labelText } from '../../../shared-core/src/format/index.js';
import { whyNotComparable, wordsOrHex } from '../../../shared-core/src/model/index.js';
import { Failure } from '../files/failure.js';
import { type Call, command, type Outcome } from './command.js';
import { compareFilesWithFirst } from './compareMany.js';
import { loadPair } from './load.js';
import { FROM, PROFILE } from './options.js';
import { say } from './say.js';

const OPTIONS = { ...FROM, ...PROFILE };

/** What differs between two dumps, each byte explained by the profile of the second. */
export const compare = command({
  name: 'compare',
  arguments: 'BEFORE AFTER…',
  does: phrase('what differs, each byte explained; of more than two dumps, a table'),
  options: OPTIONS,
  run: compareFiles,
});

async function compareFiles({ files, profile, disk }: Call<typeof OPTIONS>): Promise<Outcome> {
  if (files.length > 2) return compareFilesWithFirst(files, profile, disk);
  const [{ dump: before }, { dump: after }] = await loadPair(disk, files, profile, 'differences');
  const why = whyNotComparable(before, after);
  if (why !== undefined) throw new Failure(why);
  const comparison = compareDumps(before, after);
  return {
    status: comparison.unread.length > 0 ? 2 : comparison.identical ? 0 : 1,
    says: comparisonInWords(comparison),
    json: {
      identical: comparison.identical,
      unread: unreadToJson(comparison),
      caveat: comparison.caveat === undefined ? null : say(comparison.caveat),
      lines: comparison.lines.map(lineToJson),
      onlyBefore: comparison.onlyBefore.map(labelText),
      onlyAfter: comparison.onlyAfter.map(labelText),
      uncompared: comparison.uncompared.map(labelText),
      start: comparison.start,
      options: comparison.options.map(({ option, was, now }) => ({
        id: option.id,
        title: option.title,
        before: wordsOrHex(option, was),
        after: wordsOrHex(option, now),
      })),
    },
  };
}

/** What could not be read of either side, for scripts. */
export function unreadToJson({ unread }: Comparison): readonly object[] {
  return unread.map(({ side, why }) => ({ side, why: say(why) }));
}

/** A line that differs, for scripts. */
export function lineToJson({ label, bytes }: LineDifference): object {
  const side = (of: (byte: ByteDifference) => number | undefined) =>
    bytes.map((byte) => digitsOf(of(byte), '--')).join(' ');
  return {
    label: labelText(label),
    before: side(({ before }) => before),
    after: side(({ after }) => after),
    bytes: bytes.map(({ byte, address, before, after, reason }) => ({
      byte,
      ...(address === undefined ? {} : { address: hex(address, 4) }),
      before: digitsOf(before, '--'),
      after: digitsOf(after, '--'),
      reason,
    })),
  };
}
