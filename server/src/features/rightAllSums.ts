import {
  type Dump,
  type DumpParams,
  editsOf,
  type Phrase,
  phrase,
  type Refusal,
  RIGHT_ALL_SUMS,
  type RightAllSumsResult,
  whyFlawed,
} from '../../../shared-core/src/index.js';
import { cautionsOfWrites } from '../cautions.js';
import type { Feature } from '../feature.js';
import type { Analysis, Session } from '../session.js';
import { toWorkspaceEdit } from '../toLsp.js';
import { isChecked } from './codeLens.js';
import { repairOfAll } from './fixes/sumFixes.js';

/** The edit of the quick fix that makes all sums right, for the command of that name. */
export const rightAllSums: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<RightAllSumsResult | Refusal, void>(RIGHT_ALL_SUMS, async ({ uri }: DumpParams) => {
      const explained = await session.analyze(uri);
      return explained === undefined
        ? { refused: session.say(phrase('Open the dump first.')) }
        : editFor(session, explained);
    });
  },
};

/** Why nobody can tell that all sums are right; undefined where they are once none is known to be wrong. */
function whyUntold(dump: Dump): Phrase | undefined {
  const { profile, rule, totals, layout } = dump;
  if (profile.flaw !== undefined) return whyFlawed(profile.flaw);
  if (rule === undefined && totals.length === 0)
    return phrase(
      'Nothing is known of the sums of this dump. Name its profile in a line "@profile NAME.dump-profile.json".',
    );
  return isChecked(dump) && layout.missing.length === 0
    ? undefined
    : phrase('Not all sums can be checked: a line is missing or cannot be read. Right that first.');
}

function editFor(session: Session, explained: Analysis): RightAllSumsResult | Refusal {
  const { dump, version } = explained;
  const repair = repairOfAll(explained);
  if (repair.kind === 'refused') return { refused: session.say(repair.why) };
  const { writes } = repair;
  const untold = whyUntold(dump);
  if (writes.length === 0) return untold === undefined ? null : { refused: session.say(untold) };
  return {
    edit: toWorkspaceEdit(session, explained, editsOf(dump, writes)),
    version,
    says: session.say(untold ?? phrase('All sums are right')),
    cautions: cautionsOfWrites(session, dump, writes),
  };
}
