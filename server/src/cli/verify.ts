import {
  bind,
  type Dump,
  inNotationOf,
  type LoadedDump,
  notationOf,
  phrase,
  verificationInWords,
  verifyReadBack,
} from '../../../shared-core/src/index.js';
import type { Call, Outcome } from './command.js';
import { lineToJson } from './compare.js';
import { Failure } from './failure.js';
import { openFiles } from './load.js';
import { say } from './say.js';

/** Whether what was read back from a module is what was planned, volatile places aside. */
export async function verify({ files, profile }: Call): Promise<Outcome> {
  const [first, second, ...others] = files;
  if (first === undefined || second === undefined || others.length > 0)
    throw new Failure(phrase('Use: countersum verify PLANNED READBACK'));
  const { load } = openFiles(files);
  const planned = await load(first, profile);
  const read = await load(second, profile);
  mustHoldLines(planned);
  mustHoldLines(read);
  const found = planned.backup.kind === 'read' ? planned.backup.dump : undefined;
  const verification = verifyReadBack(planned.dump, boundLike(planned.dump, read), found);
  const { matches, foreign, lines, unmatched, ignored } = verification;
  return {
    status: matches ? 0 : 1,
    text: verificationInWords(verification)
      .map((said) => say(said))
      .join('\n'),
    json: {
      match: matches,
      differences: lines.map(({ line, cause }) => ({ ...lineToJson(line), cause: say(cause) })),
      ignored: ignored.map(lineToJson),
      unmatched: unmatched.map((said) => say(said)),
      foreign: foreign === undefined ? null : say(foreign),
    },
  };
}

/** The read-back need not name a profile: the plan's explains it. */
function boundLike({ profile }: Dump, { file, dump }: LoadedDump): Dump {
  const { rows, notation } = inNotationOf(profile, (head) => notationOf(file, head), dump);
  return bind(rows, notation, profile);
}

function mustHoldLines({ name: file, dump }: LoadedDump): void {
  if (!dump.rows.some(({ kind }) => kind === 'record'))
    throw new Failure(phrase('{0} is no dump: not one line of it is a record.', file));
}
