import type { Phrase } from '../../base/phrase.js';

/** The steps of a job, in the order in which they are done. */
export const STEPS = [
  'broughtIn',
  'sums',
  'backup',
  'change',
  'right',
  'card',
  'readBack',
  'verified',
  'recorded',
] as const;

export type StepId = (typeof STEPS)[number];

/** What a person can do next, by what it does. */
export type StepWork =
  | 'open'
  | 'save'
  | 'describe'
  | 'sayUse'
  | 'bringBack'
  | 'learn'
  | 'nameProfile'
  | 'openProfile'
  | 'confirmSums'
  | 'bringIn'
  | 'similar'
  | 'makeBackup'
  | 'setOption'
  | 'restore'
  | 'findOption'
  | 'newOption'
  | 'planRetrofit'
  | 'setAsPlanned'
  | 'settlePlan'
  | 'correctChecksums'
  | 'showProblems'
  | 'compareWithBackup'
  | 'jobCard'
  | 'verifyReadBack'
  | 'noteSeen'
  | 'saveToLoad'
  | 'vehicleRecord';

/** Something to do, on a file; `other` is the file that it takes as well: a profile, a retrofit, a reading. */
export interface StepAction {
  readonly does: StepWork;
  readonly file: string;
  readonly other?: string | undefined;
}

/** What became of a step, looked at by itself. */
export interface Finding {
  readonly isDone: boolean;
  /** What the step is called where its usual title would not be true. */
  readonly title?: Phrase;
  /** What is there, or what is open. */
  readonly says: Phrase;
  readonly action?: StepAction | undefined;
  /** What can be done as well, or in its place. */
  readonly more?: readonly StepAction[] | undefined;
}

/** `stuck`: it is the next one, and nothing can be done about it here but what its sentence says. */
export type StepState = 'done' | 'next' | 'stuck' | 'later';

export interface Step extends Finding {
  readonly id: StepId;
  readonly title: Phrase;
  readonly state: StepState;
}

export function done(says: Phrase, action?: StepAction): Finding {
  return { isDone: true, says, action };
}

export function open(says: Phrase, action?: StepAction, more: readonly StepAction[] = []): Finding {
  return { isDone: false, says, action, more };
}

/** The first step that is open is the next one; what is behind it waits. */
export function inOrder(steps: readonly Omit<Step, 'state'>[]): readonly Step[] {
  const next = steps.findIndex(({ isDone }) => !isDone);
  return steps.map((step, at) => ({ ...step, state: stateOf(step, at === next) }));
}

function stateOf({ isDone, action }: Finding, isNext: boolean): StepState {
  if (isDone) return 'done';
  if (!isNext) return 'later';
  return action === undefined ? 'stuck' : 'next';
}
