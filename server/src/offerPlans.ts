import { listed, literal, type Phrase, phrase } from '../../shared-core/src/base/index.js';
import type { WayOut } from '../../shared-core/src/jobs/index.js';
import type { LeftPlan } from './files/journals.js';
import { type Connection, MessageType, ShowMessageNotification, ShowMessageRequest } from './lsp.js';
import type { Session } from './session.js';

/**
 * Tells of plans that were cut short in the open folders. A folder may come from anywhere, so modules are written only
 * where the person chooses so, and then only what is proved.
 */
export async function offerPlans(connection: Connection, session: Session): Promise<void> {
  try {
    for (const plan of await session.plans.within(session.folders())) await offer(connection, session, plan);
  } catch (error) {
    await tell(connection, session, listed(['countersum', String(error)], ': '));
  }
}

async function offer(connection: Connection, session: Session, plan: LeftPlan): Promise<void> {
  const ways = await plan.ways({});
  if (!ways.ok) return tell(connection, session, ways.why);
  const settle = async (way: WayOut): Promise<void> => {
    const said = await settled(plan, way);
    session.changes.emit();
    return tell(connection, session, said);
  };
  if (plan.isLeft && !plan.isHalf) return settle('finish');
  const buttons = ways.value.map((way) => ({ way, title: session.say(TITLES[way]) }));
  const chosen = await connection.sendRequest(ShowMessageRequest.type, {
    type: MessageType.Warning,
    message: literal(session.say(plan.says)),
    actions: buttons.map(({ title }) => ({ title })),
  });
  const button = buttons.find(({ title }) => title === chosen?.title);
  if (button !== undefined) await settle(button.way);
}

const TITLES = { finish: phrase('Finish the Plan'), undo: phrase('Undo the Plan') };

async function settled(plan: LeftPlan, way: WayOut): Promise<Phrase> {
  const result = await plan.settle(way, { isOver: true });
  return result.ok ? result.value : result.why;
}

function tell(connection: Connection, session: Session, said: Phrase): Promise<void> {
  const message = literal(session.say(said));
  return connection.sendNotification(ShowMessageNotification.type, { type: MessageType.Warning, message });
}
