import { maskOf, WHOLE_BYTE } from '../bytes/bits.js';
import { type Phrase, phrase } from '../words/phrase.js';
import type { JsonSpan, ProfileProblem } from './json.js';
import type { Balance, Coverage, Option, Place, Profile, Total } from './profile.js';

/** Says where parts of a profile contradict each other, and leaves out the later part of each pair. */
export function contradictions(profile: Profile, problems: ProfileProblem[]): Profile {
  const report = (span: JsonSpan, message: Phrase) => problems.push({ code: 'profile-invalid', span, message });
  const options = soundOptions(profile.options, report);
  checkConditions(options, report);
  const totals = inOrder(profile.totals, report);
  const balance = profile.balance.filter((entry) => soundBalance(entry, profile, options, totals, report));
  return { ...profile, options, totals, balance };
}

type Report = (span: JsonSpan, message: Phrase) => void;

/** A name for each byte of a place, the same for the same byte. */
function byteNames(place: Place): string[] {
  return Array.from({ length: place.count }, (_, i) =>
    place.kind === 'line' ? `${place.line}:${place.byte + i}` : `@${place.address + i}`,
  );
}

function soundOptions(options: readonly Option[], report: Report): readonly Option[] {
  const ids = new Set<string>();
  const taken = new Map<string, { mask: number; title: string }[]>();
  return options.filter((option) => {
    if (ids.has(option.id)) {
      report(option.source, phrase('Two options are called "{0}".', option.id));
      return false;
    }
    ids.add(option.id);
    const mask = maskOf(option.bits ?? WHOLE_BYTE);
    for (const name of byteNames(option.place)) {
      const other = taken.get(name)?.find((entry) => entry.mask & mask);
      if (other !== undefined) {
        report(option.source, phrase('"{0}" and "{1}" hold the same bits.', option.title, other.title));
        return false;
      }
    }
    for (const name of byteNames(option.place))
      taken.set(name, [...(taken.get(name) ?? []), { mask, title: option.title }]);
    return true;
  });
}

function checkConditions(options: readonly Option[], report: Report): void {
  const ids = new Set(options.map(({ id }) => id));
  for (const option of options) {
    for (const condition of [...option.needs, ...option.excludes]) {
      if (condition.profile !== undefined) continue;
      if (condition.option === option.id)
        report(condition.source, phrase('"{0}" cannot be a condition of itself.', option.id));
      else if (!ids.has(condition.option))
        report(condition.source, phrase('No option of this profile is called "{0}".', condition.option));
    }
  }
}

function soundBalance(
  entry: Balance,
  profile: Profile,
  options: readonly Option[],
  totals: readonly Total[],
  report: Report,
): boolean {
  const names = new Set(byteNames(entry.place));
  const touches = (place: Place) => byteNames(place).some((name) => names.has(name));
  if (profile.locked.some(({ place }) => touches(place))) {
    report(entry.source, phrase('This balance place is locked.'));
    return false;
  }
  const option = options.find(({ place }) => touches(place));
  if (option !== undefined) {
    report(entry.source, phrase('This balance place holds the option "{0}".', option.title));
    return false;
  }
  if (totals.some((total) => touches(storedPlace(total)))) {
    report(entry.source, phrase('This balance place holds a sum.'));
    return false;
  }
  return true;
}

function storedPlace({ stored, checksum }: Total): Place {
  const count = Math.ceil(checksum.bits / 8);
  if (stored.kind === 'line') return { kind: 'line', line: stored.line, byte: stored.byte, count };
  return stored.kind === 'address'
    ? { kind: 'address', address: stored.address, count }
    : { kind: 'line', line: -1, byte: 1, count: 0 };
}

/** Totals in the order in which they can be computed: one that covers another's place comes after it. A circle is reported and left out. */
function inOrder(totals: readonly Total[], report: Report): readonly Total[] {
  const ordered: Total[] = [];
  let rest = totals;
  while (rest.length > 0) {
    const ready = rest.filter((total) => rest.every((other) => other === total || !coversPlace(total.covers, other)));
    if (ready.length === 0) {
      for (const total of rest)
        report(
          total.source,
          phrase('The sum "{0}" and others cover each other in a circle: none can be computed first.', total.name),
        );
      return ordered;
    }
    ordered.push(...ready);
    rest = rest.filter((total) => !ready.includes(total));
  }
  return ordered;
}

function coversPlace(covers: Coverage, { stored, checksum }: Total): boolean {
  const last = Math.ceil(checksum.bits / 8) - 1;
  if (stored.kind === 'address') {
    return (
      covers.kind === 'addresses' &&
      covers.ranges.some(({ from, to }) => stored.address + last >= from && stored.address <= to)
    );
  }
  if (stored.kind !== 'line' || covers.kind === 'addresses') return false;
  return covers.kind === 'all-lines' || (stored.line >= covers.from && stored.line <= covers.to);
}
