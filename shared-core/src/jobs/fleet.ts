import type { Phrase } from '../base/phrase.js';
import type { ModulePlan, NamedProfile, Plan } from './plan.js';
import type { Retrofit } from './retrofit.js';
import type { HeadedDump, VehicleAtHand } from './vehicles.js';

/**
 * How far a retrofit is in a car or in one of its modules. `waits`: nothing is in its own way, and it is not written
 * while another module of the car is refused.
 */
export type FleetState = 'done' | 'possible' | 'written' | 'in-the-way' | 'waits' | 'unread';

/** A car of a fleet, with a cell for each module that the retrofit changes, in its order. */
export interface FleetRow {
  /** What people call the car; of a folder without a car the folder. */
  readonly title: string;
  readonly id: string | undefined;
  readonly state: FleetState;
  /** What is in the way of the car as a whole. */
  readonly why: readonly Phrase[];
  readonly modules: readonly FleetCell[];
}

export interface FleetCell {
  readonly profile: string;
  /** The files of the module's dumps, by their names. */
  readonly names: readonly string[];
  readonly state: FleetState;
  readonly why: readonly Phrase[];
  readonly plan: ModulePlan | undefined;
}

type Changes = Pick<Retrofit, 'changes'>;

/** The row of a car as the plan over it says. */
export function fleetRow(
  { changes }: Changes,
  profileAt: (path: string) => NamedProfile,
  { id, dumps }: Pick<VehicleAtHand<HeadedDump>, 'id' | 'dumps'>,
  title: string,
  plan: Plan,
): FleetRow {
  const placed = new Set<unknown>();
  const modules = changes.map(({ profile }): FleetCell => {
    const names = dumps.filter((one) => one.profileFile === profileAt(profile).file).map(({ name }) => name);
    if (plan.kind === 'planned') {
      const made = plan.modules.find(({ file }) =>
        dumps.some((one) => one.file === file && one.profileFile === profileAt(profile).file),
      );
      // A module that the plan does not tell of is never called done.
      const state = made === undefined ? 'waits' : made.change.edits.length === 0 ? 'done' : 'possible';
      return { profile, names, state, why: [], plan: made };
    }
    const own = plan.refusals.filter(({ module }) => module === profile || names.includes(module));
    for (const one of own) placed.add(one);
    return {
      profile,
      names,
      state: own.length > 0 ? 'in-the-way' : 'waits',
      why: own.map(({ why }) => why),
      plan: undefined,
    };
  });
  if (plan.kind === 'refused') {
    const why = plan.refusals.filter((one) => !placed.has(one)).map((one) => one.why);
    return { title, id, state: 'in-the-way', why, modules };
  }
  const states = modules.map(({ state }) => state);
  const isDone = states.length > 0 && states.every((state) => state === 'done');
  const state = isDone ? 'done' : states.includes('waits') ? 'in-the-way' : 'possible';
  return { title, id, state, why: [], modules };
}

/** A row of a car, or of a folder, of which nothing can be planned. */
export function rowWithoutPlan(
  { changes }: Changes,
  car: Pick<FleetRow, 'title' | 'id'>,
  state: 'in-the-way' | 'unread',
  why: readonly Phrase[],
): FleetRow {
  const modules = changes.map(
    ({ profile }): FleetCell => ({ profile, names: [], state: 'waits', why: [], plan: undefined }),
  );
  return { ...car, state, why, modules };
}

/** The row once the car has been written: what was to be changed is written, all of it. */
export function asWritten(row: FleetRow): FleetRow {
  const written = <T extends { readonly state: FleetState }>(one: T): T =>
    one.state === 'possible' ? { ...one, state: 'written' } : one;
  return { ...written(row), modules: row.modules.map(written) };
}
