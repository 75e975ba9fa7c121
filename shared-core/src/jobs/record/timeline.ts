import { type HeaderName, headerValue } from '../../model/headers.js';
import type { NamedDump } from '../card/input.js';

/** The dumps of one module of one vehicle, in the order of time. */
export interface ModuleTimeline {
  readonly title: string;
  readonly dumps: readonly RecordedDump[];
}

/** What a dump is to the job, as its headers say. */
export type Role = 'backup' | 'work' | 'reading';

export interface RecordedDump extends NamedDump {
  readonly role: Role;
  /** When it was read, as it stands there; undefined where it is not known. */
  readonly taken: string | undefined;
  /** What it is to be held against: its backup, else the dump before it. */
  readonly since: NamedDump | undefined;
}

/** The modules of a vehicle, each with its dumps by the time they were read; those without a time are the latest. */
export function timelinesOf(dumps: readonly NamedDump[]): readonly ModuleTimeline[] {
  const modules = new Map<string, NamedDump[]>();
  for (const one of dumps) {
    const title = moduleOf(one);
    modules.set(title, [...(modules.get(title) ?? []), one]);
  }
  return [...modules].map(([title, ofModule]) => ({ title, dumps: recorded(ofModule) }));
}

function recorded(dumps: readonly NamedDump[]): readonly RecordedDump[] {
  const inOrder = dumps
    .map((one) => ({ one, time: timeOf(one) }))
    .sort((a, b) => a.time - b.time || (a.one.name < b.one.name ? -1 : 1))
    .map(({ one }) => one);
  return inOrder.map((one, index) => {
    const backup = headerValue(one.dump, 'backup')?.split(/[\\/]/).at(-1);
    const since = dumps.find(({ name }) => name === backup) ?? inOrder[index - 1];
    return {
      ...one,
      role: roleOf(one),
      taken: headerValue(one.dump, 'taken'),
      since: since === one ? undefined : since,
    };
  });
}

function roleOf({ dump }: NamedDump): Role {
  const has = (name: HeaderName) => headerValue(dump, name) !== undefined;
  if (has('seal')) return 'backup';
  return has('backup') ? 'work' : 'reading';
}

function moduleOf({ dump, name }: NamedDump): string {
  return dump.profile.title ?? headerValue(dump, 'module') ?? headerValue(dump, 'part') ?? name;
}

/** Milliseconds of a time as ISO 8601 writes it; those that are not known come last. */
function timeOf({ dump }: NamedDump): number {
  const written = headerValue(dump, 'taken') ?? '';
  // Other ways to write a time are read by everybody in their own way: day before month, or month before day.
  const time = /^\d{4}-\d\d/.test(written) ? Date.parse(written) : Number.NaN;
  return Number.isNaN(time) ? Number.MAX_SAFE_INTEGER : time;
}
