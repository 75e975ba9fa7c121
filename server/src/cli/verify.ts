import { phrase, verificationInWords, verifyReadBack } from '../../../shared-core/src/index.js';
import type { Call, Outcome } from './command.js';
import { lineToJson, unreadToJson } from './compare.js';
import { Failure } from './failure.js';
import { type Loaded, load } from './load.js';
import { say } from './say.js';

/** Whether what was read back from a module is what was planned, volatile places aside. */
export function verify({ files, profile }: Call): Outcome {
  const [first, second, ...others] = files;
  if (first === undefined || second === undefined || others.length > 0)
    throw new Failure(phrase('Use: countersum verify PLANNED READBACK'));
  const planned = load(first, profile);
  const read = load(second, profile);
  mustHoldLines(planned);
  mustHoldLines(read);
  const found = planned.backup.kind === 'read' ? planned.backup.dump : undefined;
  const verification = verifyReadBack(planned.dump, read.dump, found);
  const { matches, foreign, lines, unmatched, ignored, comparison } = verification;
  return {
    status: comparison.unread.length > 0 ? 2 : matches ? 0 : 1,
    text: verificationInWords(verification)
      .map((said) => say(said))
      .join('\n'),
    json: {
      match: matches,
      unread: unreadToJson(comparison),
      differences: lines.map(({ line, cause }) => ({ ...lineToJson(line), cause: say(cause) })),
      ignored: ignored.map(lineToJson),
      unmatched: unmatched.map((said) => say(said)),
      foreign: foreign === undefined ? null : say(foreign),
    },
  };
}

function mustHoldLines({ file, dump }: Loaded): void {
  if (!dump.rows.some(({ kind }) => kind === 'record'))
    throw new Failure(phrase('{0} is no dump: not one line of it is a record.', file));
}
