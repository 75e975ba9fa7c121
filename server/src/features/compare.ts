import {
  COMPARE,
  type CompareParams,
  type CompareResult,
  compareDumps,
  comparisonInWords,
  inSpacingOf,
  otherIdentity,
  phrase,
  type Refusal,
} from '../../../shared-core/src/index.js';
import type { Feature } from '../feature.js';
import type { Session } from '../session.js';

/** How a dump differs from its backup or another dump: in words, and as a text to be shown beside it. */
export const compare: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<CompareResult | Refusal, void>(COMPARE, (params: CompareParams) =>
      compareWith(session, params),
    );
  },
};

export async function compareWith(session: Session, { uri, other }: CompareParams): Promise<CompareResult | Refusal> {
  const explained = await session.explain(uri);
  if (explained === undefined) return { refused: session.say(phrase('Open the dump first.')) };
  const { dump, backup, backupUri } = explained;
  const otherUri = other ?? backupUri;
  const against =
    other === undefined
      ? backup.kind === 'read'
        ? backup.dump
        : undefined
      : await session.readDump(other, dump.profile);
  if (otherUri === undefined) {
    return {
      refused: session.say(phrase('This dump names no backup. Make one first, or add a line "@backup NAME.cfgdump".')),
    };
  }
  if (against === undefined) {
    const why = backup.kind === 'unreadable' ? backup.why : phrase('The dump to compare with cannot be read.');
    return { refused: session.say(why) };
  }
  const identity = otherIdentity(dump, against);
  if (identity !== undefined) {
    const message = phrase(
      'These dumps are not of the same module: "@{0}" is "{1}" there and "{2}" here. Comparing them says nothing.',
      ...identity,
    );
    return { refused: session.say(message) };
  }
  const comparison = compareDumps(against, dump);
  return {
    text: inSpacingOf(dump, against),
    otherUri,
    summary: comparisonInWords(comparison).map(session.say),
    rows: comparison.lines.map(({ afterRow }) => afterRow),
  };
}
