import {
  accountInWords,
  accountOf,
  checkDump,
  compareDumps,
  type Dump,
  type DumpParams,
  differingBytes,
  isFormUnknown,
  isGood,
  STATUS,
  type StatusResult,
  verdictOf,
} from '../../../shared-core/src/index.js';
import { answer, type Feature } from '../feature.js';
import type { Analysis, Session } from '../session.js';

/** A short account of a dump: its profile, what is wrong, how many bytes differ from the backup. */
export const status: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<StatusResult | null, void>(STATUS, ({ uri }: DumpParams) =>
      answer<StatusResult | null>(session, uri, (explained) => statusOf(session, explained), null),
    );
  },
};

export function statusOf({ say }: Session, explained: Analysis): StatusResult {
  const { dump, profile, backup } = explained;
  const verdict = verdictOf(explained, checkDump(explained));
  const account = accountOf(dump);
  return {
    state: stateOf(explained),
    profile: isShown(profile) ? (dump.profile.title ?? '') : null,
    errors: verdict.errors,
    warnings: verdict.warnings,
    good: isGood(verdict),
    account: account.unread > 0 ? say(accountInWords(account)) : null,
    backup: backup.kind === 'read' ? differingFrom(backup.dump, dump) : backup.kind === 'none' ? 'none' : 'unreadable',
  };
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
