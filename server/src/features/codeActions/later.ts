import { FIX_EVERYTHING, type FixWish, workOut } from '../../../../shared-core/src/actions/index.js';
import { oneLine, phrase } from '../../../../shared-core/src/base/index.js';
import { withDependents } from '../../dependents.js';
import { answer, hasChanged } from '../../feature.js';
import {
  type CancellationToken,
  type CodeAction,
  type Connection,
  MessageType,
  ShowMessageNotification,
} from '../../lsp.js';
import type { Analysis, Session } from '../../session.js';
import { inSlices } from '../../slices.js';
import { toCautiousEdit } from '../../toLsp.js';

/** A wish of one version of a dump, as it travels with its action. */
interface LaterData {
  readonly uri: string;
  readonly version: number;
  /** `null` for all sums. */
  readonly set: { readonly id: string; readonly raw: string } | null;
}

/** Whether the client asks for the edit of an action once it is chosen, and then shows its cautions before it is made. */
export function mayBeLater({ client: { capabilities } }: Pick<Session, 'client'>): boolean {
  const action = capabilities.textDocument?.codeAction;
  return (
    action?.dataSupport === true &&
    action.resolveSupport?.properties.includes('edit') === true &&
    capabilities.workspace?.workspaceEdit?.changeAnnotationSupport !== undefined
  );
}

export function laterDataOf({ file, version }: Analysis, wish: FixWish): LaterData {
  return { uri: file, version, set: wish.kind === 'set' ? { id: wish.id, raw: String(wish.raw) } : null };
}

/** An action with its edit, found with as much work as every other way may take; where there is none, it is said why. */
export async function resolved(
  connection: Connection,
  session: Session,
  action: CodeAction,
  cancel: CancellationToken,
): Promise<CodeAction> {
  const { data } = action;
  if (!isLaterData(data)) return action;
  return answer(
    session,
    data.uri,
    async (explained): Promise<CodeAction> => {
      if (explained.version !== data.version) throw hasChanged();
      const subject = await withDependents(session, explained);
      const found = await inSlices(workOut(subject, { ...FIX_EVERYTHING, wish: wishOf(data) }), cancel);
      const result = found?.result;
      if (result?.ok) return { ...action, edit: toCautiousEdit(session, explained, action.title, result.value, true) };
      const why = session.say(result?.why ?? phrase('Open the dump first.'));
      void connection.sendNotification(ShowMessageNotification.type, { type: MessageType.Warning, message: why });
      return { ...action, disabled: { reason: oneLine(why) } };
    },
    action,
  );
}

function wishOf({ set }: LaterData): FixWish {
  return set === null ? { kind: 'all-sums' } : { kind: 'set', id: set.id, raw: BigInt(set.raw) };
}

/** What travels through the client is looked at like any other message of it. */
function isLaterData(data: unknown): data is LaterData {
  if (typeof data !== 'object' || data === null) return false;
  const { uri, version, set } = data as Readonly<Record<keyof LaterData, unknown>>;
  if (typeof uri !== 'string' || typeof version !== 'number') return false;
  if (set === null) return true;
  if (typeof set !== 'object') return false;
  const { id, raw } = set as Readonly<Record<'id' | 'raw', unknown>>;
  return typeof id === 'string' && typeof raw === 'string' && /^\d{1,80}$/.test(raw);
}
