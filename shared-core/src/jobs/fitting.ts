import { type Phrase, phrase } from '../base/phrase.js';
import type { Dump } from '../model/dump.js';
import { readOption, shownValue } from '../model/optionReading.js';
import { wantedIn } from './checkRetrofit.js';
import type { ModuleChange } from './retrofit.js';

/** What a retrofit asks of the module of a dump; `name` is what people call its file. */
export interface AskedOfModule {
  readonly name: string;
  readonly change: ModuleChange;
}

/** What a dump does not hold that a retrofit asks for. */
export function notAsAsked({ set }: ModuleChange, { name, dump }: Named): readonly Phrase[] {
  return set.flatMap((one): Phrase | readonly [] => {
    const wanted = wantedIn(dump.profile, one, dump);
    if ('why' in wanted) return wanted.why;
    const { option, raw } = wanted;
    const now = readOption(dump, option)?.raw;
    if (now === raw) return [];
    const held = now === undefined ? '–' : shownValue(option, now);
    return phrase('{0}: {1} is to be {2}, but is {3}.', name, option.title, shownValue(option, raw), held);
  });
}

/** Where two retrofits ask different things of one option: nobody can tell which of them the job follows. */
export function contradictionOf(dump: Dump, fitting: readonly AskedOfModule[]): Phrase | undefined {
  const asked = fitting.flatMap(({ name, change }) =>
    change.set.flatMap((one) => {
      const wanted = wantedIn(dump.profile, one, dump);
      return 'why' in wanted ? [] : [{ ...wanted, name }];
    }),
  );
  for (const one of asked) {
    const other = asked.find(({ option, raw }) => option.id === one.option.id && raw !== one.raw);
    if (other !== undefined)
      return phrase(
        '{0} is to be {1} by {2} and {3} by {4}. Move the one that this job does not follow out of the folder.',
        one.option.title,
        shownValue(one.option, one.raw),
        one.name,
        shownValue(other.option, other.raw),
        other.name,
      );
  }
  return undefined;
}

interface Named {
  readonly name: string;
  readonly dump: Dump;
}
