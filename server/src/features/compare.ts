import {
  type BackupStatus,
  COMPARE,
  type CompareParams,
  type CompareResult,
  compareDumps,
  comparisonInWords,
  type Dump,
  done,
  inSpacingOf,
  otherIdentity,
  phrase,
  type Refusal,
  type Result,
  refuse,
} from '../../../shared-core/src/index.js';
import { answerOrRefuse, type Feature } from '../feature.js';
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

export function compareWith(session: Session, params: CompareParams): Promise<CompareResult | Refusal> {
  return answerOfPair<CompareResult>(session, params, ({ explained: { dump }, other, otherUri }) => {
    const comparison = compareDumps(other, dump);
    return {
      text: inSpacingOf(dump, other),
      otherUri,
      summary: comparisonInWords(comparison).map(session.say),
      rows: comparison.lines.map(({ afterRow }) => afterRow),
    };
  });
}

/** A dump and what it is compared with. */
export interface Pair {
  readonly explained: Analysis;
  readonly other: Dump;
  readonly otherUri: string;
}

/** Answers a request about an open dump and its backup, or another dump of the same module. */
export function answerOfPair<T>(
  session: Session,
  { uri, other }: CompareParams,
  compute: (pair: Pair) => T | Refusal | Promise<T | Refusal>,
): Promise<T | Refusal> {
  return answerOrRefuse<T>(session, uri, async (explained) => {
    const pair = await pairOf(session, explained, other);
    return 'refused' in pair ? pair : compute(pair);
  });
}

async function pairOf(session: Session, explained: Analysis, other: string | undefined): Promise<Pair | Refusal> {
  const { dump, backup, backupFile } = explained;
  const otherUri = other ?? backupFile ?? '';
  const read = other === undefined ? backupOf(backup) : await session.files.readDump(other, dump.profile);
  if (!read.ok) {
    const why = other === undefined ? read.why : phrase('The dump to compare with cannot be read: {0}.', read.why);
    return { refused: session.say(why) };
  }
  const against = read.value;
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

/** The backup of a dump, or why there is none to be read. */
export function backupOf(backup: BackupStatus): Result<Dump> {
  switch (backup.kind) {
    case 'read':
      return done(backup.dump);
    case 'unreadable':
      return refuse(backup.why);
    case 'itself':
      return refuse(phrase('The backup is this file itself. Name the dump as it was found.'));
    case 'none':
      return refuse(phrase('This dump names no backup. Make one first, or add a line "@backup NAME.cfgdump".'));
  }
}
