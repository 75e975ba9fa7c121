import { type Phrase, phrase } from '../../base/phrase.js';
import type { Dump } from '../../model/dump.js';
import { headersOf } from '../../model/headers.js';
import type { LabelledDump } from './labelledDump.js';

/** What a dump's headers say of a piece of equipment: 0 where `@fitted` names it, 1 where `@absent` does; undefined where neither or both do. */
export function groupByTag(dump: Pick<Dump, 'rows' | 'headers'>, tag: string): number | undefined {
  const [fitted, absent] = [tagsUnder(dump, 'fitted').includes(tag), tagsUnder(dump, 'absent').includes(tag)];
  return fitted === absent ? undefined : fitted ? 0 : 1;
}

/** The dumps in the groups that their headers put them in; those whose headers contradict themselves are named. */
export function labelledByTag(
  dumps: readonly Omit<LabelledDump, 'group'>[],
  tag: string,
): { readonly dumps: readonly LabelledDump[]; readonly remarks: readonly Phrase[] } {
  const torn = dumps.filter(
    ({ dump }) => tagsUnder(dump, 'fitted').includes(tag) && tagsUnder(dump, 'absent').includes(tag),
  );
  return {
    dumps: dumps.map(({ name, dump }) => ({ name, dump, group: groupByTag(dump, tag) })),
    remarks: torn.map(({ name }) =>
      phrase(
        '{0} says both "@fitted {1}" and "@absent {1}", so it counts as not labelled. Correct its headers.',
        name,
        tag,
      ),
    ),
  };
}

/** How many dumps have, and how many lack, each piece of equipment that a header names, commonest first. */
export function tagCounts(
  dumps: readonly Pick<Dump, 'rows' | 'headers'>[],
): readonly { readonly tag: string; readonly fitted: number; readonly absent: number }[] {
  const tags = [...new Set(dumps.flatMap((dump) => [...tagsUnder(dump, 'fitted'), ...tagsUnder(dump, 'absent')]))];
  return tags
    .map((tag) => {
      const groups = dumps.map((dump) => groupByTag(dump, tag));
      const count = (wanted: number) => groups.filter((group) => group === wanted).length;
      return { tag, fitted: count(0), absent: count(1) };
    })
    .sort((a, b) => b.fitted + b.absent - (a.fitted + a.absent) || (a.tag < b.tag ? -1 : 1));
}

function tagsUnder(dump: Pick<Dump, 'rows' | 'headers'>, header: 'fitted' | 'absent'): readonly string[] {
  return headersOf(dump).flatMap(({ header: { name, value } }) =>
    name === header ? value.split(/\s+/).filter((tag) => tag !== '') : [],
  );
}
