import type { Label } from '../format/row.js';
import { copiesOfPlace, sharedBytes } from './copiedPlaces.js';
import { dataBytes } from './lineLabels.js';
import { overlap, placeOfTotal } from './places.js';
import type { Copies, Coverage, Geometry, Place, Profile, Total } from './profile.js';

/**
 * Totals with those that hold in each copy: one that is stored among copies and runs over nothing else is declared
 * once. Inverted copies have inverted sums, which say no more than that they are copies.
 */
export function withCopiedTotals(totals: readonly Total[], { copies, geometry }: Profile): readonly Total[] {
  const derived = copies
    .filter(({ isInverted }) => !isInverted)
    .flatMap((one) => totals.flatMap((total) => inOtherCopies(total, one, geometry)));
  // What is stored in one place is one sum, from whichever of its copies it is told.
  const all = [...totals];
  for (const one of derived) if (!all.some((total) => isStoredAt(total, placeOfTotal(one)))) all.push(one);
  return all;
}

function isStoredAt(total: Total, place: Place | undefined): boolean {
  const own = placeOfTotal(total);
  return own !== undefined && place !== undefined && overlap(own, place);
}

function inOtherCopies(total: Total, copies: Copies, geometry: Geometry | undefined): readonly Total[] {
  const place = placeOfTotal(total);
  const [shared] = place === undefined ? [] : sharedBytes(copies, place);
  if (place === undefined || shared === undefined) return [];
  return copies.places.flatMap((runs, copy) => {
    if (copy === shared.copy) return [];
    const covers = coverageIn(total.covers, copies.places[shared.copy] ?? [], runs, geometry);
    const [stored] = copiesOfPlace(
      { copies: [{ ...copies, places: [copies.places[shared.copy] ?? [], runs] }] },
      place,
    );
    if (covers === undefined || stored === undefined) return [];
    return [{ ...total, name: `${total.name} (${copy + 1})`, covers, stored }];
  });
}

/** The same bytes of another copy; undefined where the total runs over others too. */
function coverageIn(
  covers: Coverage,
  own: readonly Place[],
  other: readonly Place[],
  geometry: Geometry | undefined,
): Coverage | undefined {
  if (covers.kind === 'addresses') {
    const [from, to] = [own[0], other[0]];
    if (from?.kind !== 'address' || to?.kind !== 'address') return undefined;
    const end = from.address + from.count - 1;
    const isWithin = covers.ranges.every((range) => range.from >= from.address && range.to <= end);
    const by = to.address - from.address;
    return isWithin
      ? { ...covers, ranges: covers.ranges.map((range) => ({ from: range.from + by, to: range.to + by })) }
      : undefined;
  }
  if (covers.kind !== 'lines' || covers.sums || geometry?.kind !== 'lines') return undefined;
  const lineWith = (label: Label) => other[own.findIndex((run) => run.kind === 'line' && run.line === label)];
  const areWhole = (runs: readonly Place[]) =>
    runs.every((run) => run.kind === 'line' && run.count === dataBytes(geometry, run.line));
  const [from, to] = [lineWith(covers.from), lineWith(covers.to)];
  if (!areWhole(own) || !areWhole(other)) return undefined;
  return from?.kind === 'line' && to?.kind === 'line' ? { ...covers, from: from.line, to: to.line } : undefined;
}
