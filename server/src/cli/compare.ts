import {
  type ByteDifference,
  type Comparison,
  compareDumps,
  comparisonInWords,
  hex,
  type LineDifference,
  labelText,
  otherIdentity,
  phrase,
} from '../../../shared-core/src/index.js';
import { type Call, command, type Outcome } from './command.js';
import { Failure } from './failure.js';
import { PROFILE } from './options.js';
import { say } from './say.js';

/** What differs between two dumps, each byte explained by the profile of the second. */
export const compare = command({
  name: 'compare',
  arguments: 'BEFORE AFTER',
  does: phrase('what differs, each byte explained'),
  options: PROFILE,
  run: compareFiles,
});

async function compareFiles({ files, profile, disk }: Call<typeof PROFILE>): Promise<Outcome> {
  const [first = '', second = ''] = files;
  const { dump: before } = await disk.load(first, profile);
  const { dump: after } = await disk.load(second, profile);
  const identity = otherIdentity(before, after);
  if (identity !== undefined) {
    throw new Failure(
      phrase(
        'These dumps are not of the same module: "@{0}" is "{1}" in the first and "{2}" in the second.',
        ...identity,
      ),
    );
  }
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
      ...(comparison.start && { start: comparison.start }),
      options: comparison.options.map(({ option, before: was, after: now }) => ({
        id: option.id,
        title: option.title,
        before: was,
        after: now,
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
  const side = (of: (byte: ByteDifference) => number | undefined) => bytes.map((byte) => digits(of(byte))).join(' ');
  return {
    label: labelText(label),
    before: side(({ before }) => before),
    after: side(({ after }) => after),
    bytes: bytes.map(({ byte, address, before, after, reason }) => ({
      byte,
      ...(address === undefined ? {} : { address: hex(address, 4) }),
      before: digits(before),
      after: digits(after),
      reason,
    })),
  };
}

function digits(value: number | undefined): string {
  return value === undefined ? '--' : hex(value);
}
