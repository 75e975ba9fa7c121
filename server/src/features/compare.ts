import {
  COMPARE,
  type CompareParams,
  type CompareResult,
  compareDumps,
  comparisonInWords,
  type Dump,
  inSpacingOf,
  otherIdentity,
  phrase,
  type Refusal,
} from '../../../shared-core/src/index.js';
import type { Feature } from '../feature.js';
import type { Analysis, Session } from '../session.js';

/** How a dump differs from its backup or another dump: in words, and as a text to be shown beside it. */
export const compare: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<CompareResult | Refusal, void>(COMPARE, (params: CompareParams) =>
      compareWith(session, params),
    );
  },
};

export async function compareWith(session: Session, params: CompareParams): Promise<CompareResult | Refusal> {
  const pair = await pairOf(session, params);
  if ('refused' in pair) return pair;
  const { dump } = pair.explained;
  const comparison = compareDumps(pair.other, dump);
  return {
    text: inSpacingOf(dump, pair.other),
    otherUri: pair.otherUri,
    summary: comparisonInWords(comparison).map(session.say),
    rows: comparison.lines.map(({ afterRow }) => afterRow),
  };
}

/** A dump and what it is compared with. */
export interface Pair {
  readonly explained: Analysis;
  readonly other: Dump;
  readonly otherUri: string;
}

/** A dump and its backup, or another dump of the same module. */
export async function pairOf(session: Session, { uri, other }: CompareParams): Promise<Pair | Refusal> {
  const explained = await session.analyze(uri);
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
  const identity = otherIdentity(against, dump);
  if (identity !== undefined) {
    const message = phrase(
      'These dumps are not of the same module: "@{0}" is "{1}" there and "{2}" here. Comparing them says nothing.',
      ...identity,
    );
    return { refused: session.say(message) };
  }
  return { explained, other: against, otherUri };
}
