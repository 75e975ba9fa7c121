import {
  compareDumps,
  type Dump,
  type DumpParams,
  differingBytes,
  isGood,
  STATUS,
  type StatusResult,
  verdictOf,
} from '../../../shared-core/src/index.js';
import type { Feature } from '../feature.js';
import { type Analysis, problemsOf } from '../session.js';

/** A short account of a dump: its profile, what is wrong, how many bytes differ from the backup. */
export const status: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest(STATUS, async ({ uri }: DumpParams): Promise<StatusResult | null> => {
      const explained = await session.analyze(uri);
      return explained === undefined ? null : statusOf(explained);
    });
  },
};

export function statusOf(explained: Analysis): StatusResult {
  const { dump, profile, backup } = explained;
  const problems = problemsOf(explained);
  const verdict = verdictOf(explained, problems);
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
