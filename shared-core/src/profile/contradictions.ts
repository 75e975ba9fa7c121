import { maskOf, WHOLE_BYTE } from '../base/bits.js';
import { hex } from '../base/hex.js';
import { nearestName } from '../base/nearestName.js';
import { listed, type Phrase, phrase } from '../base/phrase.js';
import type { JsonSpan, ProfileProblem } from './json.js';
import { optionWidth, overlap, placeOfTotal } from './places.js';
import type { Balance, Condition, Option, Place, Profile, Total } from './profile.js';
import { isSecured } from './secured.js';
import { totalsInOrder } from './totalsInOrder.js';

/**
 * Says where parts of a profile contradict each other, and leaves out the later part of each pair. `ids` are those of all
 * options that are written down, also of those that could not be read.
 */
export function contradictions(profile: Profile, ids: readonly string[], problems: ProfileProblem[]): Profile {
  const report = (span: JsonSpan, message: Phrase) => problems.push({ code: 'profile-invalid', span, message });
  const totals = withoutCircles(soundTotals(profile.totals, report), profile.lineSum, report);
  const options = soundOptions(profile.options, totals, report);
  const balance = profile.balance.filter((entry) => {
    const why = whyNoBalance(entry, profile, totals);
    if (why !== undefined) report(entry.source, why);
    return why === undefined;
  });
  checkConditions(options, ids, report);
  return { ...profile, options, totals, balance };
}

type Report = (span: JsonSpan, message: Phrase) => void;

/** Totals, but for those that are stored where one before them is. */
function soundTotals(totals: readonly Total[], report: Report): readonly Total[] {
  const sound: Total[] = [];
  for (const total of totals) {
    const other = sound.find((one) => storedTogether(one, total));
    if (other === undefined) sound.push(total);
    else report(total.source, phrase('The sums "{0}" and "{1}" are stored in the same place.', other.name, total.name));
  }
  return sound;
}

function storedTogether(one: Total, other: Total): boolean {
  if (one.stored.kind === 'record' && other.stored.kind === 'record') return one.stored.label === other.stored.label;
  return holdsTotal(other, placeOfTotal(one));
}

function holdsTotal(total: Total, place: Place | undefined): boolean {
  const stored = placeOfTotal(total);
  return stored !== undefined && place !== undefined && overlap(stored, place);
}

function withoutCircles(all: readonly Total[], lineSum: Profile['lineSum'], report: Report): readonly Total[] {
  const totals = all.filter((total) => {
    const circular = lineSum !== undefined && coversOwnLineSum(total);
    if (circular)
      report(
        total.source,
        phrase(
          '"{0}" covers the sum of the line in which it is stored, and that sum covers "{0}": neither can be computed first. Store it in a line of its own, or let it run over "data" alone.',
          total.name,
        ),
      );
    return !circular;
  });
  const { ordered, circles } = totalsInOrder(totals);
  for (const circle of circles) {
    const [first] = circle;
    if (first === undefined) continue;
    const names = listed(
      [...circle, first].map(({ name }) => `"${name}"`),
      ' → ',
    );
    report(
      first.source,
      phrase('These sums cover each other in a circle, so that none can be computed first: {0}.', names),
    );
  }
  return ordered;
}

/** The sum of a line always covers the data of that line. */
function coversOwnLineSum({ covers, stored }: Total): boolean {
  if (stored.kind !== 'line' || covers.kind === 'addresses' || !covers.sums) return false;
  return covers.kind === 'all-lines' || (stored.line >= covers.from && stored.line <= covers.to);
}

/** Options, but for those whose id or bits one before them has, and those in the bytes of a total. */
function soundOptions(options: readonly Option[], totals: readonly Total[], report: Report): readonly Option[] {
  const sound = new Map<string, Option>();
  const inLine = new Map<number, Option[]>();
  for (const option of options) {
    const line = option.place.kind === 'line' ? option.place.line : -1;
    const beside = inLine.get(line) ?? [];
    const why = whyNoOption(option, sound, beside, totals);
    if (why !== undefined) {
      report(option.source, why);
      continue;
    }
    sound.set(option.id, option);
    inLine.set(line, beside);
    beside.push(option);
  }
  return [...sound.values()];
}

function whyNoOption(
  option: Option,
  sound: ReadonlyMap<string, Option>,
  beside: readonly Option[],
  totals: readonly Total[],
): Phrase | undefined {
  if (sound.has(option.id)) return phrase('Two options are called "{0}".', option.id);
  const mask = maskOf(option.bits ?? WHOLE_BYTE);
  const other = beside.find(
    ({ bits, place }) => (maskOf(bits ?? WHOLE_BYTE) & mask) !== 0 && overlap(place, option.place),
  );
  if (other !== undefined) return phrase('"{0}" and "{1}" hold the same bits.', option.title, other.title);
  const total = totals.find((one) => holdsTotal(one, option.place));
  return total && phrase('"{0}" lies where the sum "{1}" is stored.', option.title, total.name);
}

/** A place that holds an option may balance: who lists it says so. */
function whyNoBalance({ place }: Balance, profile: Profile, totals: readonly Total[]): Phrase | undefined {
  if (profile.locked.some((region) => overlap(region.place, place))) return phrase('This balance place is locked.');
  if (profile.volatile.some((region) => overlap(region.place, place)))
    return phrase('This balance place changes by itself in the module: what it takes up would not last.');
  if (profile.options.some((option) => isSecured(option) && overlap(option.place, place)))
    return phrase(
      'This balance place holds an option that concerns the security of the vehicle: no command changes it.',
    );
  return totals.some((total) => holdsTotal(total, place)) ? phrase('This balance place holds a sum.') : undefined;
}

function checkConditions(options: readonly Option[], ids: readonly string[], report: Report): void {
  const byId = new Map(options.map((option) => [option.id, option]));
  for (const option of options) {
    for (const condition of [...option.needs, ...option.excludes]) {
      const why = condition.profile === undefined ? whyNoCondition(condition, option, byId, ids) : undefined;
      if (why !== undefined) report(condition.source, why);
    }
    for (const condition of option.excludes) {
      const need = option.needs.find(
        (one) =>
          one.profile === condition.profile &&
          one.option === condition.option &&
          one.in.length > 0 &&
          one.in.every((value) => condition.in.includes(value)),
      );
      if (need !== undefined)
        report(condition.source, phrase('"{0}" excludes all that it needs of "{1}".', option.title, condition.option));
    }
  }
}

function whyNoCondition(
  condition: Condition,
  option: Option,
  byId: ReadonlyMap<string, Option>,
  ids: readonly string[],
): Phrase | undefined {
  if (condition.option === option.id) return phrase('"{0}" cannot be a condition of itself.', option.id);
  const other = byId.get(condition.option);
  if (other === undefined) {
    if (ids.includes(condition.option)) return undefined;
    const near = nearestName(condition.option, ids);
    return near === undefined
      ? phrase('No option of this profile is called "{0}".', condition.option)
      : phrase('No option of this profile is called "{0}"; "{1}" is probably meant.', condition.option, near);
  }
  const width = optionWidth(other);
  const tooBig = condition.in.find((value) => value >= 2 ** width);
  return tooBig === undefined
    ? undefined
    : phrase(
        '"{0}" holds values up to {1} only, not {2}.',
        other.title,
        `0x${hex(2 ** width - 1, 2)}`,
        `0x${hex(tooBig, 2)}`,
      );
}
