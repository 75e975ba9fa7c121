import { type BitField, maskOf, WHOLE_BYTE } from '../base/bits.js';
import { hex } from '../base/hex.js';
import { type Phrase, phrase } from '../base/phrase.js';
import type { Label } from '../format/row.js';
import { presentCells } from '../model/cell.js';
import type { Dump } from '../model/dump.js';
import { calledLine } from '../model/lineName.js';
import { NO_REASON } from '../model/protected.js';
import type { Option, Place, Profile } from '../profile/profile.js';
import { isSecured } from '../profile/secured.js';

/**
 * Why a profile that a person gives may not take the place of the one that the dump names: it lifts a lock of it. Both
 * dumps are the same text, each explained by one of them; a profile that reads the text otherwise lifts locks as well.
 */
export function whyProfileLiftsLocks(given: Dump, own: Dump): Phrase | undefined {
  const kept = protectedRuns(given.profile);
  const digits = protectedDigits(given, kept);
  for (const run of protectedRuns(own.profile)) {
    const at =
      firstOpen(run, kept) ??
      ([...protectedDigits(own, [run])].some(([digit, mask]) => (mask & ~(digits.get(digit) ?? 0)) !== 0)
        ? run.from
        : undefined);
    if (at === undefined) continue;
    return phrase(
      "The profile that was given leaves {0} open, which the dump's own profile protects ({1}). Lock it there as well, or use the profile that the dump names.",
      run.line === undefined
        ? phrase('address {0}', hex(at, 4))
        : phrase('byte {0} of line {1}', at, calledLine(own, run.line)),
      run.name,
    );
  }
  return undefined;
}

/**
 * Why it may not: it says of bytes that they change by themselves, and the dump's own profile does not. What differs there
 * would be put aside in every comparison.
 */
export function whyProfilePutsAside(given: Dump, own: Dump): Phrase | undefined {
  const known = protectedDigits(own, volatileRuns(own.profile));
  for (const run of volatileRuns(given.profile)) {
    if ([...protectedDigits(given, [run]).keys()].every((digit) => known.has(digit))) continue;
    return phrase(
      "The profile that was given says that {0} changes by itself, and the dump's own profile does not. Say so there as well, or use the profile that the dump names.",
      run.line === undefined
        ? phrase('address {0}', hex(run.from, 4))
        : phrase('byte {0} of line {1}', run.from, calledLine(given, run.line)),
    );
  }
  return undefined;
}

/**
 * Why it may not: what the dump's own profile demands of a change would not be asked. It must say of the same bits what
 * they can harm, and have the options with conditions as they are there, with the options that these ask for.
 */
export function whyProfileDropsDemands(given: Dump, own: Dump): Phrase | undefined {
  const dropped = own.profile.options.find(
    (option) => !keepsHazards(option, given, own) || !keepsConditions(option, given.profile, own.profile),
  );
  return (
    dropped &&
    phrase(
      'The profile that was given does not say of "{0}" what the dump\'s own profile says it can harm, needs or excludes. Say the same there, or use the profile that the dump names.',
      dropped.title,
    )
  );
}

function keepsHazards({ hazards, parts }: Option, given: Dump, own: Dump): boolean {
  return hazards.every((hazard) => {
    // What is locked does not change, so it can harm nothing.
    const runs = [
      ...given.profile.locked.map(({ place }) => runOf(place, WHOLE_BYTE, NO_REASON)),
      ...given.profile.options.filter((one) => one.hazards.includes(hazard)).flatMap(runsOf),
    ];
    const digits = protectedDigits(given, runs);
    return runsOf({ parts }).every(
      (run) =>
        firstOpen(run, runs) === undefined &&
        [...protectedDigits(own, [run])].every(([digit, mask]) => (mask & ~(digits.get(digit) ?? 0)) === 0),
    );
  });
}

function keepsConditions(option: Option, given: Profile, own: Profile): boolean {
  const demanded = conditionsOf(option);
  if (demanded.length === 0) return true;
  const same = given.options.find(({ id }) => id === option.id);
  if (same === undefined || !liesAlike(option, same)) return false;
  const kept = new Set(conditionsOf(same).map(({ text }) => text));
  return demanded.every(({ text, condition }) => {
    if (!kept.has(text)) return false;
    if (condition.profile !== undefined) return true;
    const [asked, there] = [own, given].map(({ options }) => options.find(({ id }) => id === condition.option));
    return asked === undefined || (there !== undefined && liesAlike(asked, there));
  });
}

function conditionsOf({ needs, excludes }: Option) {
  return [needs, excludes].flatMap((all, kind) =>
    all.map((condition) => ({
      condition,
      text: [kind, condition.profile ?? '', condition.option, ...[...condition.in].sort()].join('\n'),
    })),
  );
}

/** Whether two options have the same bits, which count alike. */
function liesAlike(one: Option, other: Option): boolean {
  const key = ({ parts, order, reversed, swapped }: Option) =>
    JSON.stringify([
      parts.map((part) => {
        const { line, from, to, mask } = runOf(part.place, part.bits ?? WHOLE_BYTE, NO_REASON);
        return [line, from, to, mask];
      }),
      order,
      reversed,
      swapped,
    ]);
  return key(one) === key(other);
}

function runsOf({ parts }: Pick<Option, 'parts'>): readonly ProtectedRun[] {
  return parts.map(({ place, bits }) => runOf(place, bits ?? WHOLE_BYTE, NO_REASON));
}

function volatileRuns({ volatile }: Profile): readonly ProtectedRun[] {
  return volatile.map(({ place }) => runOf(place, WHOLE_BYTE, NO_REASON));
}

/** Bits that are protected in each byte from one to another: of a line, or of an image. */
interface ProtectedRun {
  readonly place: Place;
  readonly line: Label | undefined;
  readonly from: number;
  readonly to: number;
  readonly mask: number;
  readonly name: Phrase;
}

function protectedRuns({ locked, options }: Profile): readonly ProtectedRun[] {
  return [
    ...locked.map(({ place, why }) => runOf(place, WHOLE_BYTE, why ? phrase('"{0}"', why) : NO_REASON)),
    ...options
      .filter(isSecured)
      .flatMap(({ parts, title }) =>
        parts.map(({ place, bits }) => runOf(place, bits ?? WHOLE_BYTE, phrase('"{0}"', title))),
      ),
  ];
}

function runOf(place: Place, bits: BitField, name: Phrase): ProtectedRun {
  const [line, from] = place.kind === 'line' ? [place.line, place.byte] : [undefined, place.address];
  return { place, line, from, to: from + place.count - 1, mask: maskOf(bits), name };
}

/** The first byte of a run of which others leave a bit open. */
function firstOpen({ line, from, to, mask }: ProtectedRun, kept: readonly ProtectedRun[]): number | undefined {
  const over = kept.filter((one) => one.line === line && one.from <= to && one.to >= from);
  // A byte is the first that is open only where the run begins, or where something that protects is over.
  const starts = [from, ...over.map((one) => one.to + 1)];
  const isOpen = (at: number) =>
    (mask & ~over.reduce((all, one) => (one.from <= at && at <= one.to ? all | one.mask : all), 0)) !== 0;
  return starts
    .filter((at) => at <= to)
    .sort((a, b) => a - b)
    .find(isOpen);
}

/** The protected bits of each hex digit of the text, by its row and column. */
function protectedDigits({ rows, layout, notation }: Dump, runs: readonly ProtectedRun[]): ReadonlyMap<string, number> {
  const digits = new Map<string, number>();
  for (const { place, mask } of runs)
    for (const { row, byte } of presentCells(layout, place)) {
      const record = rows[row];
      const columns = record?.kind === 'record' ? notation.digitPlaces(record).slice(2 * byte, 2 * byte + 2) : [];
      for (const [i, column] of columns.entries()) {
        const key = `${row}:${column}`;
        digits.set(key, (i === 0 ? mask >> 4 : mask & 15) | (digits.get(key) ?? 0));
      }
    }
  return digits;
}
