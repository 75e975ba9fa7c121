import { checkDump, isFormUnknown, isGood, verdictOf } from '../../../shared-core/src/checks/index.js';
import { compareDumps, differingBytes } from '../../../shared-core/src/compare/index.js';
import { accountInWords, accountOf, type Dump, headerValue } from '../../../shared-core/src/model/index.js';
import type { DumpParams } from '../../../shared-core/src/protocol/common.js';
import { STATUS, type StatusResult } from '../../../shared-core/src/protocol/status.js';
import { cutShortFor } from '../cutShort.js';
import { answer, type Feature } from '../feature.js';
import { fittingProfiles } from '../fittingProfiles.js';
import type { Analysis, Session } from '../session.js';
import { pauses } from '../slices.js';

/** A short account of a dump: its profile, what is wrong, how many bytes differ from the backup. */
export const status: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<StatusResult | null, void>(STATUS, ({ uri }: DumpParams, cancel) =>
      answer<StatusResult | null>(session, uri, (explained) => statusOf(session, explained, pauses(cancel)), null),
    );
  },
};

async function statusOf(
  session: Session,
  explained: Analysis,
  pause: ReturnType<typeof pauses>,
): Promise<StatusResult> {
  const { dump, profile, backup } = explained;
  const checked = verdictOf(explained, checkDump(explained));
  const cutShort = (await cutShortFor(session, [explained]))(explained.file);
  const verdict = { ...checked, unchecked: [...checked.unchecked, ...cutShort] };
  const account = accountOf(dump);
  return {
    state: stateOf(explained),
    profile: isShown(profile) ? (dump.profile.title ?? '') : null,
    fitting: await namesOfFitting(session, explained, pause),
    errors: verdict.errors,
    warnings: verdict.warnings,
    good: isGood(verdict),
    account: account.unread > 0 ? session.say(accountInWords(account)) : null,
    backup: backup.kind === 'read' ? differingFrom(backup.dump, dump) : backup.kind === 'none' ? 'none' : 'unreadable',
  };
}

/** Only by a part a profile is found: without one nothing is searched at each key press. */
async function namesOfFitting(
  session: Session,
  { file, dump, profile }: Analysis,
  pause: ReturnType<typeof pauses>,
): Promise<readonly string[]> {
  if (profile.kind !== 'none' || headerValue(dump, 'part') === undefined) return [];
  return ((await fittingProfiles(session, file, pause))?.profiles ?? []).map(({ name }) => name);
}

function stateOf({ dump, profile }: Analysis): StatusResult['state'] {
  if (profile.kind === 'unreadable') return profile.isStale ? 'stale' : 'unreadable';
  if (profile.kind === 'none' && isFormUnknown({ dump, profile })) return 'unknown';
  return profile.kind;
}

/** Whether the dump is shown by a profile: also by the last good version of one that is being changed. */
function isShown(profile: Analysis['profile']): boolean {
  return profile.kind === 'read' || (profile.kind === 'unreadable' && profile.isStale === true);
}

/** How many bytes differ from the backup; that both are the same is said only where both were read whole. */
function differingFrom(backup: Dump, dump: Dump): StatusResult['backup'] {
  const comparison = compareDumps(backup, dump);
  const bytes = differingBytes(comparison);
  return bytes === 0 && comparison.unread.length > 0 ? 'unreadable' : bytes;
}
