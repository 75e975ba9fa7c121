import {
  BALANCE_CHOICES,
  type BalanceChoice,
  type DumpParams,
  editsOf,
  freeCells,
  labelOfRow,
  phrase,
  type Refusal,
  rebalance,
  shareOfSteps,
  wrongTotals,
} from '../../../shared-core/src/index.js';
import type { Feature } from '../feature.js';
import type { Explained, Session } from '../session.js';
import { toWorkspaceEdit } from '../toLsp.js';
import { balanceInWords } from './fixes.js';

/** Every line that could bring the wrong totals right, with what it would change; and why the others cannot. */
export const balanceChoices: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<readonly BalanceChoice[] | Refusal, void>(BALANCE_CHOICES, async ({ uri }: DumpParams) => {
      const explained = await session.explain(uri);
      return explained === undefined
        ? { refused: session.say(phrase('Open the dump first.')) }
        : choicesFor(session, explained);
    });
  },
};

/** More lines than this nobody reads through. */
const MOST_CHOICES = 500;

export function choicesFor(session: Session, explained: Explained): readonly BalanceChoice[] | Refusal {
  const { dump } = explained;
  const wrong = wrongTotals(dump);
  if (wrong.length === 0) return { refused: session.say(phrase('All file sums that can be checked are right.')) };
  const rows = Array.from(dump.layout.order).slice(0, MOST_CHOICES);
  const choices = rows.map((row): BalanceChoice => {
    const repair = rebalance(dump, freeCells(dump, row), wrong, shareOfSteps(rows.length));
    const title = session.say(phrase('Line {0}', labelOfRow(dump.rows[row]) ?? row + 1));
    if (repair.kind === 'refused') return { title, detail: session.say(repair.why), edit: null };
    return {
      title,
      detail: session.say(balanceInWords(dump, repair.writes)),
      edit: toWorkspaceEdit(explained, editsOf(dump, repair.writes)),
    };
  });
  return [...choices.filter(({ edit }) => edit !== null), ...choices.filter(({ edit }) => edit === null)];
}
