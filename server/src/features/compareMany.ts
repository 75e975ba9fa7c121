import { done, phrase } from '../../../shared-core/src/base/index.js';
import { compareChosen, spanInMany } from '../../../shared-core/src/compare/index.js';
import type { Refusal } from '../../../shared-core/src/protocol/common.js';
import {
  COMPARE_MANY,
  type CompareManyParams,
  type CompareManyResult,
} from '../../../shared-core/src/protocol/compare.js';
import { canonicalUri } from '../../../shared-core/src/workspace/index.js';
import { dumpNames } from '../dumpNames.js';
import { answerOfVersions, type Feature } from '../feature.js';
import { placeOf } from '../placeOf.js';
import type { Session } from '../session.js';
import { pauses } from '../slices.js';

/** What differs between some dumps, open or closed, as a table of places and dumps. */
export const compareManyDumps: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<CompareManyResult | Refusal, void>(
      COMPARE_MANY,
      ({ uri, others }: CompareManyParams, cancel) =>
        answerOfVersions(
          session,
          () => compareAll(session, [...new Set([uri, ...others].map(canonicalUri))], pauses(cancel)),
          (answer) => ('refused' in answer ? [] : answer.files.map((file) => file.uri)),
        ),
    );
  },
};

/** More columns than these nobody reads, and no editor shows them well. */
const MOST_DUMPS = 200;

async function compareAll(
  session: Session,
  uris: readonly string[],
  pause: ReturnType<typeof pauses>,
): Promise<CompareManyResult | Refusal> {
  const { say } = session;
  if (uris.length > MOST_DUMPS)
    return {
      refused: say(
        phrase(
          '{0} dumps are too many for one table: choose up to {1}, or use "countersum compare".',
          uris.length,
          MOST_DUMPS,
        ),
      ),
    };
  await session.files.lookAgain();
  const names = dumpNames(uris);
  const chosen: Parameters<typeof compareChosen>[0][number][] = [];
  for (const [i, uri] of uris.entries()) {
    await pause();
    const bound = await session.bindFile(uri);
    chosen.push({ name: names[i] ?? uri, read: bound.ok ? done(bound.value.dump) : bound });
  }
  const { why, compared, table } = compareChosen(chosen);
  const [first] = compared;
  return {
    files: uris.map((uri, i) => {
      const left = why[i];
      return { uri, name: names[i] ?? uri, why: left === undefined ? null : say(left) };
    }),
    columns: uris.flatMap((_, i) => (why[i] === undefined ? i : [])),
    rows: table.rows.map(({ title, what, values, place }) => ({
      title: say(title),
      what: say(what),
      cells: values.map((value, i) => {
        const other = compared[i]?.dump;
        const span = first && other && spanInMany(first.dump, other, place);
        return { text: say(value), range: other ? placeOf(other, span) : null };
      }),
    })),
    says: table.says.map(say),
  };
}
