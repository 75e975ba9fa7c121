import { type Phrase, phrase } from '../../base/phrase.js';
import { textOfRows } from '../../format/rows.js';
import { type HeaderName, headerValue, isSealed, spelledAlike } from '../../model/headers.js';
import { otherIdentity, twoInWords } from '../../model/identity.js';
import { isForComparison, whyForComparison, whySetAside } from '../../model/useHeader.js';
import { backupAmong } from '../record/timeline.js';
import type { CardModule, NamedDump } from './input.js';

/** Headers that all modules of one car share. */
const OF_THE_CAR: readonly HeaderName[] = ['vin', 'vehicle'];

/** Why no card can be made of these dumps: two that are not of one module or swapped, one pair twice, or modules of two cars. */
export function whyNoCard(modules: readonly CardModule[]): Phrase | undefined {
  for (const { before, after } of modules) {
    const other = otherIdentity(before.dump, after.dump);
    if (other !== undefined)
      return phrase(
        '{0} and {1} are of {2}: "@{3}" is "{4}" in the first and "{5}" in the second.',
        before.name,
        after.name,
        twoInWords(other[0]),
        ...other,
      );
    if (isForComparison(after.dump)) return phrase('{0}: {1}', after.name, whyForComparison(after.dump));
    const aside = whySetAside(after.name, after.dump) ?? whySetAside(before.name, before.dump);
    if (aside !== undefined) return aside;
    if (isSealed(after.dump) && backupAmong([after], before) !== undefined)
      return phrase(
        '{0} is the sealed backup that {1} names, so the two are given the other way round: first the dump as found, then the planned one.',
        after.name,
        before.name,
      );
  }
  const twice = modules.find((one, index) => modules.slice(0, index).some((earlier) => isSamePair(earlier, one)));
  if (twice !== undefined)
    return phrase('{0} and {1} are given twice. Give each module once.', twice.before.name, twice.after.name);
  const [first, ...others] = modules;
  for (const { after } of first === undefined ? [] : others) {
    for (const name of OF_THE_CAR) {
      const [one, two] = [headerValue((first as CardModule).after.dump, name), headerValue(after.dump, name)];
      if (one !== undefined && two !== undefined && spelledAlike(name, one) !== spelledAlike(name, two))
        return phrase('{0} is of another car: "@{1}" is "{2}" there and "{3}" before.', after.name, name, two, one);
    }
  }
  return undefined;
}

function isSamePair(one: CardModule, other: CardModule): boolean {
  return isSameDump(one.before, other.before) && isSameDump(one.after, other.after);
}

function isSameDump({ dump }: NamedDump, { dump: other }: NamedDump): boolean {
  return textOfRows(dump.rows) === textOfRows(other.rows);
}
