import {
  checkDump,
  compareDumps,
  type Dump,
  type DumpParams,
  differingBytes,
  isGood,
  STATUS,
  type StatusResult,
  verdictOf,
} from '../../../shared-core/src/index.js';
import { answer, type Feature } from '../feature.js';
import type { Analysis } from '../session.js';

/** A short account of a dump: its profile, what is wrong, how many bytes differ from the backup. */
export const status: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<StatusResult | null, void>(STATUS, ({ uri }: DumpParams) =>
      answer<StatusResult | null>(session, uri, statusOf, null),
    );
  },
};

export function statusOf(explained: Analysis): StatusResult {
  const { dump, profile, backup } = explained;
  const verdict = verdictOf(explained, checkDump(explained));
  return {
    profile: profile.kind === 'read' ? (dump.profile.title ?? '') : null,
    errors: verdict.errors,
    warnings: verdict.warnings,
    good: isGood(verdict),
    backup: backup.kind === 'read' ? differingFrom(backup.dump, dump) : backup.kind === 'none' ? 'none' : 'unreadable',
  };
}

/** How many bytes differ from the backup; that both are the same is said only where both were read whole. */
function differingFrom(backup: Dump, dump: Dump): StatusResult['backup'] {
  const comparison = compareDumps(backup, dump);
  const bytes = differingBytes(comparison);
  return bytes === 0 && comparison.unread.length > 0 ? 'unreadable' : bytes;
}
