import { type Phrase, phrase } from '../../base/phrase.js';
import type { NamedDump } from '../card/input.js';
import { numberFor } from '../changeFor.js';
import { contradictionOf, notAsAsked } from '../fitting.js';
import type { ModuleChange } from '../retrofit.js';
import type { RetrofitFile } from '../retrofitFile.js';
import { writtenOf } from './changes.js';
import type { ModuleTimeline, RecordedDump, Role } from './timeline.js';

export interface RecordedRetrofit {
  readonly name: string;
  readonly file: RetrofitFile;
  /** The files of the profiles that its changes name, in their order. */
  readonly profileFiles: readonly string[];
}

/** Something open, with the dump that it is about where it is about one. */
export interface OpenMatter {
  readonly says: Phrase;
  readonly of?: NamedDump;
}

/** What the retrofits of the folder ask of the modules of a vehicle, and what these do not hold: in work, else as read last. */
export function notCarriedOut(
  timelines: readonly ModuleTimeline[],
  retrofits: readonly RecordedRetrofit[],
): readonly OpenMatter[] {
  const modules = timelines.map((timeline) => stateOf(timeline, retrofits));
  return [
    ...modules.flatMap(({ open }) => open.map((says) => ({ says }))),
    ...retrofits.flatMap(({ name }) => {
      const back = modules.find((module) => module.back.includes(name));
      const held = modules.find((module) => module.held.includes(name));
      if (back === undefined || held?.current === undefined) return [];
      const says = phrase(
        '{0} is taken back in {1}, and still set in {2}. Take it back there too, or set it again.',
        name,
        back.title,
        held.title,
      );
      return { says, of: held.current };
    }),
  ];
}

/** Whether a module that is as its backup again was read to hold before what a retrofit asks for. */
export function isTakenBack(change: ModuleChange, back: NamedDump | undefined): boolean {
  return back !== undefined && notAsAsked(change, back).length === 0;
}

/** Which retrofits a module holds, which were taken out of it again, and what is open of the others. */
interface State {
  readonly title: string;
  readonly current: RecordedDump | undefined;
  readonly held: readonly string[];
  readonly back: readonly string[];
  readonly open: readonly Phrase[];
}

function stateOf({ title, dumps, strays }: ModuleTimeline, retrofits: readonly RecordedRetrofit[]): State {
  const lastOf = (wanted: Role) => dumps.filter(({ role }) => role === wanted).at(-1);
  const current = lastOf('work') ?? lastOf('reading') ?? lastOf('backup');
  const none: State = { title, current, held: [], back: [], open: [] };
  const profileFile = current?.profileFile;
  if (current === undefined || profileFile === undefined) return none;
  const fitting = retrofits.flatMap(({ name, file, profileFiles }) => {
    const change =
      file.kind === 'sound'
        ? file.retrofit.changes[numberFor(profileFiles, profileFile, current.dump.profile)]
        : undefined;
    return change === undefined ? [] : { name, change, unmet: notAsAsked(change, current) };
  });
  const contrary = contradictionOf(current.dump, fitting);
  if (contrary !== undefined) return { ...none, open: [contrary] };
  const back = writtenOf(current, dumps, strays)?.back;
  const unset = fitting.filter(({ unmet }) => unmet.length > 0);
  const takenBack = unset.filter(({ change }) => isTakenBack(change, back));
  return {
    ...none,
    held: fitting.filter((one) => !unset.includes(one)).map(({ name }) => name),
    back: takenBack.map(({ name }) => name),
    open: unset
      .filter((one) => !takenBack.includes(one))
      .flatMap(({ name, unmet }) => unmet.map((why) => phrase('{0} is not carried out. {1}', name, why))),
  };
}
