import {
  checkDump,
  compareDumps,
  type DumpParams,
  differingBytes,
  STATUS,
  type StatusResult,
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
  const problems = checkDump(explained);
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
