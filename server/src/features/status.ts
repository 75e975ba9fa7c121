import {
  compareDumps,
  type DumpParams,
  differingBytes,
  STATUS,
  type StatusResult,
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
  const count = (severity: string) => problems.filter((problem) => problem.severity === severity).length;
  return {
    profile: profile.kind === 'read' ? (dump.profile.title ?? '') : null,
    errors: count('error'),
    warnings: count('warning'),
    backup:
      backup.kind === 'read'
        ? differingBytes(compareDumps(backup.dump, dump))
        : backup.kind === 'none'
          ? 'none'
          : 'unreadable',
  };
}
