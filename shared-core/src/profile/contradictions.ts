import { type Phrase, phrase } from '../base/phrase.js';
import type { Label } from '../format/row.js';
import { checkConditions } from './conditions.js';
import { soundCopies, whyNotInCopies } from './contradictoryCopies.js';
import { checksOfSlots, soundSlots, whyNotInSlots, whyNotMoving, whyOptionNotMoving } from './contradictorySlots.js';
import { inAllCopies } from './copiedPlaces.js';
import { withCopiedTotals } from './copiedTotals.js';
import type { JsonSpan, ProfileProblem, Report } from './json.js';
import { dataBytes, firstLabel, lastLabel } from './lineLabels.js';
import { joinedRanges, liesIn, overlap, placeOfTotal, rangeInHex, shareBits, storedPlace } from './places.js';
import type { AddressRange, Balance, Option, Place, Profile, Total } from './profile.js';
import { isSecured } from './secured.js';
import { inAllSlots } from './slotPlaces.js';
import { totalsInOrder } from './totalsInOrder.js';

/**
 * Says where parts of a profile contradict each other, and leaves out the later part of each pair. What is said of one of
 * several copies or slots holds in all of them. `ids` are those of all
 * options that are written down, also of those that could not be read.
 */
export function contradictions(written: Profile, ids: readonly string[], problems: ProfileProblem[]): Profile {
  const report: Report = (span, message) => problems.push({ code: 'profile-invalid', span, message });
  const copies = soundCopies(written.copies, report);
  const slots = soundSlots(written.slots, copies, report);
  const profile = {
    ...written,
    copies,
    slots,
    locked: inAllSlots(slots, inAllCopies({ copies }, written.locked)),
    volatile: inAllSlots(slots, written.volatile),
    totals: [...written.totals, ...checksOfSlots(slots)],
  };
  const totals = withCopiedTotals(soundTotals(profile, report), profile);
  const options = soundOptions(profile, totals, report);
  const balance = soundBalance(profile, totals, report);
  checkKinds(profile, report);
  checkAbsent(profile, report);
  checkConditions(options, ids, report);
  return { ...profile, options, totals: totalsInOrder(totals), balance };
}

/** Totals, but for those that are stored where one before them is, cover nothing, or are locked in part. */
function soundTotals(profile: Profile, report: Report): readonly Total[] {
  const sound: Total[] = [];
  const stored = storedTotals();
  for (const total of profile.totals) {
    const why = whyNoTotal(total, profile, stored);
    if (why === undefined) {
      sound.push(total);
      stored.add(total);
    } else report(total.source, why);
  }
  return sound;
}

/** Totals by where they are stored: to compare each of thousands with each other would take seconds. */
interface StoredTotals {
  readonly add: (total: Total) => void;
  /** The first one with a byte of a place. */
  readonly at: (place: Place) => Total | undefined;
  /** The first one that is stored where another is. */
  readonly with: (total: Total) => Total | undefined;
}

function storedTotals(all: readonly Total[] = []): StoredTotals {
  const near = new Map<string, { readonly at: number; readonly total: Total; readonly place: Place }[]>();
  const labelled = new Map<Label, { readonly at: number; readonly total: Total }>();
  let count = 0;
  const add = (total: Total) => {
    const [at, place] = [count++, storedPlace(total)];
    if (total.stored.kind === 'record' && !labelled.has(total.stored.label))
      labelled.set(total.stored.label, { at, total });
    for (const key of place === undefined ? [] : neighbourhoods(place))
      near.set(key, [...(near.get(key) ?? []), { at, total, place: place as Place }]);
  };
  for (const total of all) add(total);
  const first = (found: readonly { readonly at: number; readonly total: Total }[]) =>
    found.reduce<(typeof found)[number] | undefined>((a, b) => (a !== undefined && a.at < b.at ? a : b), undefined)
      ?.total;
  const sharing = (place: Place) =>
    neighbourhoods(place).flatMap((key) => (near.get(key) ?? []).filter((one) => overlap(one.place, place)));
  return {
    add,
    at: (place) => first(sharing(place)),
    with: (total) => {
      const place = storedPlace(total);
      const same = total.stored.kind === 'record' ? labelled.get(total.stored.label) : undefined;
      return first([...(place === undefined ? [] : sharing(place)), ...(same === undefined ? [] : [same])]);
    },
  };
}

function whyNoTotal(total: Total, profile: Profile, sound: StoredTotals): Phrase | undefined {
  const { name } = total;
  const other = sound.with(total);
  if (other !== undefined) return phrase('The sums "{0}" and "{1}" are stored in the same place.', other.name, name);
  if (coversNothing(total, profile.geometry))
    return phrase('"{0}" covers nothing: the bytes in which a sum is stored never count.', name);
  const copied = whyNotInCopies(total, profile) ?? whyNotInSlots(total, profile);
  if (copied !== undefined) return copied;
  const place = storedPlace(total);
  if (place === undefined) return undefined;
  const locked = bytesOf(place).filter((byte) => profile.locked.some((region) => overlap(region.place, byte)));
  return locked.length === 0 || locked.length === place.count
    ? undefined
    : phrase('"{0}" is stored in bytes of which some are locked and some are not: lock all of them, or none.', name);
}

/** Each byte of a place by itself. */
function bytesOf(place: Place): readonly Place[] {
  return Array.from({ length: place.count }, (_, i) =>
    place.kind === 'line'
      ? { ...place, byte: place.byte + i, count: 1 }
      : { ...place, address: place.address + i, count: 1 },
  );
}

/** Whether no byte is left to a total besides those in which it is stored. Where lines have no known length, one is. */
function coversNothing(total: Total, geometry: Profile['geometry']): boolean {
  const place = placeOfTotal(total);
  const { covers } = total;
  if (covers.kind === 'addresses') {
    const own = place?.kind === 'address' ? { from: place.address, to: place.address + place.count - 1 } : undefined;
    return joinedRanges(covers.ranges).every((range) => own !== undefined && isWithin(range, own));
  }
  if (covers.kind === 'line-parts') return coversNoLine(covers, place, geometry);
  if (geometry?.kind !== 'lines' || place?.kind !== 'line' || covers.sums) return false;
  const { from, to } = covers.kind === 'lines' ? covers : { from: firstLabel(geometry), to: lastLabel(geometry) };
  return from === place.line && to === place.line && dataBytes(geometry, place.line) === place.count;
}

/** The same of parts of lines: each byte of them is left out or stores the sum itself. */
function coversNoLine(
  { parts, except, sums }: Extract<Total['covers'], { kind: 'line-parts' }>,
  own: Place | undefined,
  geometry: Profile['geometry'],
): boolean {
  if (geometry?.kind !== 'lines' || sums) return false;
  const out = own === undefined ? except : [...except, own];
  return parts.every(({ from, to, bytes }) => {
    if (from !== to) return false;
    const count = bytes?.count ?? dataBytes(geometry, from);
    const all = bytesOf({ kind: 'line', line: from, byte: bytes?.first ?? 1, count });
    return all.every((byte) => out.some((place) => overlap(place, byte)));
  });
}

function isWithin(inner: AddressRange, outer: AddressRange): boolean {
  return inner.from >= outer.from && inner.to <= outer.to;
}

/** Options, but for those whose id or bits one before them has, and those in the bytes of a total. */
function soundOptions(profile: Profile, totals: readonly Total[], report: Report): readonly Option[] {
  const sound = new Map<string, Option>();
  const near = new Map<string, Option[]>();
  const stored = storedTotals(totals);
  for (const option of profile.options) {
    const keys = [...new Set(option.parts.flatMap(({ place }) => neighbourhoods(place)))];
    const beside = keys.flatMap((key) => near.get(key) ?? []);
    const why = whyNoOption(option, sound, beside, stored) ?? whyOptionNotMoving(option, profile);
    if (why !== undefined) {
      report(option.source, why);
      continue;
    }
    sound.set(option.id, option);
    for (const key of keys) near.set(key, [...(near.get(key) ?? []), option]);
  }
  return [...sound.values()];
}

/** Names of the parts of the dump in which a place is: places that share a byte share one of them. */
function neighbourhoods(place: Place): readonly string[] {
  const [kind, first] = place.kind === 'line' ? [place.line, place.byte] : ['', place.address];
  const last = first + place.count - 1;
  const names: string[] = [];
  for (let at = first >>> 8; at <= last >>> 8; at++) names.push(`${kind}:${at}`);
  return names;
}

function whyNoOption(
  option: Option,
  sound: ReadonlyMap<string, Option>,
  beside: readonly Option[],
  totals: StoredTotals,
): Phrase | undefined {
  if (sound.has(option.id)) return phrase('Two options are called "{0}".', option.id);
  // Bits of one byte may belong to several options, also beside those that concern the security: a write is by bits.
  const other = beside.find((one) => shareBits(one, option));
  if (other !== undefined) return phrase('"{0}" and "{1}" hold the same bits.', option.title, other.title);
  const [total] = option.parts.flatMap(({ place }) => totals.at(place) ?? []);
  return total && phrase('"{0}" lies where the sum "{1}" is stored.', option.title, total.name);
}

/**
 * Balance places, but for those that must not change. A place that holds an option may balance, as who lists it says so;
 * and a place may be part of another, as the best byte of a line before the whole line.
 */
function soundBalance(profile: Profile, totals: readonly Total[], report: Report): readonly Balance[] {
  const stored = storedTotals(totals);
  return profile.balance.filter((entry) => {
    const why = whyNoBalance(entry, profile, stored);
    if (why !== undefined) report(entry.source, why);
    return why === undefined;
  });
}

function whyNoBalance({ place }: Balance, profile: Profile, totals: StoredTotals): Phrase | undefined {
  if (profile.locked.some((region) => overlap(region.place, place))) return phrase('This balance place is locked.');
  if (inAllCopies(profile, profile.volatile).some((region) => overlap(region.place, place)))
    return phrase('This balance place changes by itself in the module: what it takes up would not last.');
  if (profile.options.some((option) => isSecured(option) && liesIn(option, place)))
    return phrase(
      'This balance place holds an option that concerns the security of the vehicle, so nothing may change it.',
    );
  if (totals.at(place) !== undefined) return phrase('This balance place holds a sum.');
  const moving = whyNotMoving(place, profile, phrase('This balance place'));
  if (moving !== undefined) return moving;
  const copied = profile.copies.find(({ places }) =>
    places
      .slice(1)
      .flat()
      .some((run) => overlap(run, place)),
  );
  return (
    copied &&
    phrase(
      'This balance place is in a copy of "{0}": list the same bytes of its first place, with which all copies change.',
      copied.name,
    )
  );
}

/** A dump is in lines or an image: without "lines" or "addresses" the places themselves say which, and must agree. */
function checkKinds({ totals, options, locked, volatile, balance, copies, slots }: Profile, report: Report): void {
  const kinds = [
    ...[...partsOf(options), ...locked, ...volatile, ...balance].map(({ place, source }) => ({
      kind: place.kind,
      source,
    })),
    ...[...copies, ...slots].flatMap(({ places, source }) => places.map(([run]) => ({ kind: run?.kind, source }))),
    ...totals.flatMap(({ covers, stored, source }) => [
      { kind: stored.kind === 'address' ? ('address' as const) : ('line' as const), source },
      ...(covers.kind === 'addresses' ? [{ kind: 'address' as const, source }] : []),
      ...(covers.kind === 'lines' || covers.kind === 'line-parts' ? [{ kind: 'line' as const, source }] : []),
    ]),
  ];
  const other = kinds.find(({ kind }) => kind !== kinds[0]?.kind);
  if (other !== undefined)
    report(
      other.source,
      phrase(
        'Some places of this profile are in lines and some at addresses, but a dump has only one kind. Correct the wrong ones.',
      ),
    );
}

/** A place is wholly among the addresses that may be missing, or not at all. */
function checkAbsent(
  { absent, geometry, totals, options, locked, volatile, balance, copies, slots }: Profile,
  report: Report,
): void {
  const missing = joinedRanges(absent);
  if (missing.length === 0 || geometry?.kind !== 'addresses') return;
  const places = [
    ...[...partsOf(options), ...locked, ...volatile, ...balance],
    ...[...copies, ...slots].flatMap(({ places, source }) => places.flat().map((place) => ({ place, source }))),
    ...totals.flatMap((total) => {
      const place = placeOfTotal(total);
      return place === undefined ? [] : [{ place, source: total.source }];
    }),
  ];
  for (const { place, source } of places) {
    if (place.kind !== 'address') continue;
    const range = { from: place.address, to: place.address + place.count - 1 };
    const cut = missing.find((one) => one.from <= range.to && one.to >= range.from && !isWithin(range, one));
    if (cut !== undefined)
      report(
        source,
        phrase('"absent" allows addresses {0} to be missing, but this place is partly among them.', rangeInHex(cut)),
      );
  }
}

/** The places of all parts of options, each with where its option is described. */
function partsOf(options: readonly Option[]): readonly { readonly place: Place; readonly source: JsonSpan }[] {
  return options.flatMap(({ parts, source }) => parts.map(({ place }) => ({ place, source })));
}
