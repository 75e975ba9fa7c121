import {
  asReading,
  done,
  phrase,
  verificationInWords,
  verifyReadBack,
  withRecords,
} from '../../../shared-core/src/index.js';
import { Failure } from '../files/failure.js';
import { type Call, command, type Outcome } from './command.js';
import { lineToJson, unreadToJson } from './compare.js';
import { loadPair, must } from './load.js';
import { PROFILE } from './options.js';
import { say } from './say.js';

/** Whether what was read back from a module is what was planned, volatile places aside. */
export const verify = command({
  name: 'verify',
  arguments: 'PLANNED READBACK',
  does: phrase('is what was read back what was planned; the likely cause of each difference'),
  options: PROFILE,
  run: verifyFiles,
});

async function verifyFiles({ files, profile, disk }: Call<typeof PROFILE>): Promise<Outcome> {
  const [first = '', second = ''] = files;
  if (disk.placeOf(first) === disk.placeOf(second))
    throw new Failure(phrase('{0} and {1} are the same file: name what was read back from the module.', first, second));
  const [planned, read] = await loadPair(disk, files, profile, 'causes');
  must(withRecords(planned.name, done(planned.dump)));
  must(asReading(read.name, done(read.dump)));
  const found = planned.backup.kind === 'read' ? planned.backup.dump : undefined;
  const verification = verifyReadBack(planned.dump, read.dump, found);
  const { matches, foreign, lines, unmatched, ignored, comparison, isProof, caveats, wrongInPlan } = verification;
  return {
    status: !isProof ? 2 : matches && wrongInPlan.length === 0 ? 0 : 1,
    says: verificationInWords(verification),
    json: {
      match: matches,
      unread: unreadToJson(comparison),
      differences: lines.map(({ line, cause }) => ({ ...lineToJson(line), cause: say(cause) })),
      ignored: ignored.map(lineToJson),
      unmatched: unmatched.map((said) => say(said)),
      caveats: caveats.map((said) => say(said)),
      foreign: foreign === undefined ? null : say(foreign),
    },
  };
}
