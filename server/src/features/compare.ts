import { phrase } from '../../../shared-core/src/base/index.js';
import { readBackup } from '../../../shared-core/src/checks/index.js';
import {
  compareDumps,
  comparisonInShort,
  comparisonInWords,
  inSpacingOf,
} from '../../../shared-core/src/compare/index.js';
import { type Dump, whyForComparison, whyNotComparable } from '../../../shared-core/src/model/index.js';
import type { Refusal } from '../../../shared-core/src/protocol/common.js';
import { COMPARE, type CompareParams, type CompareResult } from '../../../shared-core/src/protocol/compare.js';
import { BEFORE_BACKUP, evidenceOf, isBeforeBackup } from '../evidence.js';
import { answerOrRefuse, type Feature } from '../feature.js';
import type { Analysis, Session } from '../session.js';
import { toRefusal } from '../toChange.js';

/** How a dump differs from its backup or another dump: in words, and as a text to be shown beside it. */
export const compare: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<CompareResult | Refusal, void>(COMPARE, (params: CompareParams) =>
      compareWith(session, params),
    );
  },
};

function compareWith(session: Session, params: CompareParams): Promise<CompareResult | Refusal> {
  return answerOfPair<CompareResult>(session, params, ({ explained: { dump }, other, otherUri }) => {
    const comparison = compareDumps(other, dump);
    return {
      text: inSpacingOf(dump, other),
      otherUri,
      summary: comparisonInWords(comparison).map(session.say),
      inShort: comparisonInShort(comparison).map(session.say),
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

const EVIDENCE = phrase('This is what was read back: "Verify Read-back…" compares it with what was planned.');

async function pairOf(session: Session, explained: Analysis, other: string | undefined): Promise<Pair | Refusal> {
  const { dump, backup, backupFile } = explained;
  if (other === undefined && backup.kind === 'none') {
    const evidence = await evidenceOf(session, explained);
    if (evidence !== undefined)
      return { refused: session.say(evidence === 'readBack' ? EVIDENCE : whyForComparison(dump)) };
  }
  const otherUri = other ?? backupFile ?? '';
  if (other === undefined && (await isBeforeBackup(session, explained))) return { refused: session.say(BEFORE_BACKUP) };
  const read = other === undefined ? readBackup(backup) : await session.files.readDump(other, dump.profile);
  if (!read.ok) {
    if (other === undefined) return toRefusal(session, read);
    return { refused: session.say(phrase('The dump to compare with cannot be read: {0}.', read.why)) };
  }
  const against = read.value;
  const why = whyNotComparable(against, dump);
  if (why !== undefined) return { refused: session.say(why) };
  return { explained, other: against, otherUri };
}
