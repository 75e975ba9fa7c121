import {
  compareDumps,
  type DumpParams,
  type Label,
  labelText,
  linesToTakeBack,
  phrase,
  type Refusal,
  TAKE_BACK,
  type TakeBackParams,
  type TakeBackResult,
  WAY_BACK,
  type WayBackLine,
  wayBack,
  wayBackInWords,
  whyNoWayBack,
} from '../../../shared-core/src/index.js';
import type { Feature } from '../feature.js';
import type { Explained, Session } from '../session.js';
import { toWorkspaceEdit } from '../toLsp.js';

/** The lines in which a dump is not as its backup, and the edit that takes them back. */
export const theWayBack: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<readonly WayBackLine[] | Refusal, void>(WAY_BACK, ({ uri }: DumpParams) =>
      withBackup(session, uri, linesFor),
    );
    connection.onRequest<TakeBackResult | Refusal, void>(TAKE_BACK, ({ uri, labels }: TakeBackParams) =>
      withBackup(session, uri, (_, explained, backup) => takeBack(session, explained, backup, labels)),
    );
  },
};

type Dump = Explained['dump'];

async function withBackup<T>(
  session: Session,
  uri: string,
  use: (session: Session, explained: Explained, backup: Dump) => T | Refusal,
): Promise<T | Refusal> {
  const explained = await session.explain(uri);
  if (explained === undefined) return { refused: session.say(phrase('Open the dump first.')) };
  const { backup } = explained;
  if (backup.kind === 'read') return use(session, explained, backup.dump);
  const why = {
    none: phrase(
      'This dump names no backup, so there is no way back. Add a line "@backup NAME.cfgdump" where one exists.',
    ),
    itself: phrase('The backup is this file itself. Name the dump as it was found.'),
    unreadable: backup.kind === 'unreadable' ? backup.why : phrase(''),
  }[backup.kind];
  return { refused: session.say(why) };
}

function linesFor(session: Session, { dump }: Explained, backup: Dump): readonly WayBackLine[] | Refusal {
  const why = whyNoWayBack(dump, backup);
  if (why !== undefined) return { refused: session.say(why) };
  const { lines } = compareDumps(backup, dump);
  const unlike = linesToTakeBack(dump, backup);
  if (unlike.length === 0) return { refused: session.say(phrase('This dump holds the same bytes as its backup.')) };
  return unlike.map((label) => {
    const line = lines.find((one) => one.label === label);
    const detail = line === undefined ? phrase('missing, not in the backup, or not readable') : wayBackInWords(line);
    return { label: labelText(label), detail: session.say(detail) };
  });
}

function takeBack(
  session: Session,
  explained: Explained,
  backup: Dump,
  chosen: readonly string[],
): TakeBackResult | Refusal {
  const { dump } = explained;
  const labels = linesToTakeBack(dump, backup).filter((label: Label) => chosen.includes(labelText(label)));
  const result = wayBack(dump, backup, labels);
  if (result.kind === 'refused') return { refused: session.say(result.why) };
  return { edit: toWorkspaceEdit(session, explained, result.edits), lines: labels.length };
}
