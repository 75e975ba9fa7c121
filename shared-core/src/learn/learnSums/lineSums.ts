import { hexBytes } from '../../base/hex.js';
import type { ByteOrder } from '../../base/number.js';
import { SURE } from '../../base/odds.js';
import type { Steps } from '../../base/steps.js';
import { checksumOf } from '../../checksum/registry.js';
import { numbersOf } from '../../format/label.js';
import type { LineSumPart } from '../../profile/profile.js';
import type { End } from '../learnForm/byteApart.js';
import { bitsFor, distinctRuns, evidenceOf } from './evidence.js';
import { chanceOf, FIRST, type Fit, fitTemplate, isPlain, isPromising } from './fit.js';
import { isSymmetric, sumAtEndBits } from './frontOrBack.js';
import { hiddenModule } from './hiddenModule.js';
import {
  coverageCost,
  isUsualOrder,
  type LineCoverage,
  type LineToLearn,
  lineCoverages,
  lineSamples,
  type Sample,
  SPARES,
  type Spare,
  usualCoverages,
  withSumAtEnd,
} from './line.js';
import { type LineRule, leavesTooMany } from './lineRule.js';
import { merged, type TellingLine, tellingLine } from './rivals.js';
import { symmetricTemplates, type Template, templateSteps } from './template.js';
import { crcSteps, madeDivisions } from './unknownCrc.js';

export interface LineSumSearch {
  /** Rules that more than half of the lines follow, best first; beside one that is sure those alone that may be it as well. Rules that can never differ on such lines are one. */
  readonly rules: readonly LineRule[];
  /** Whether the first byte of the lines could be the sum of the best rule as well, though it does not look like it. */
  readonly alsoFront: boolean;
  /** Rules beside the first that the given lines meet as well, each with a line that would tell them apart. */
  readonly undecided: readonly { readonly rule: LineRule; readonly telling: TellingLine | undefined }[];
  /** Lines that neither the best rule nor any of its rivals explains, where these are sure by the other lines. */
  readonly damaged: readonly LineToLearn[];
  /** Where no rule holds: the one that most lines follow. */
  readonly nearest: LineRule | undefined;
}

/** A sum of this many bytes may stand at the end of a line. */
const WIDTHS = [1, 2, 4, 3, 8] as const;

/** A rule that foretells so much less than another, such as one byte of a sum of three, is no rival of it. */
const CLEAR = 1e6;

/**
 * Searches for the rule that gives the last bytes of each line, or else the first ones, from its other bytes. `module` is
 * the module's number where a header says it; a sum that is `setApart` is looked for at the end only. Lines that are alike
 * in label and bytes count once, as they say nothing new.
 */
export function* lineSumSteps(
  all: readonly LineToLearn[],
  module: number | undefined,
  { effort = 'all', setApart = false, apart }: Partial<LineSumWish> = {},
): Steps<LineSumSearch> {
  const lines = distinctLines(all);
  const isMany = lines.length > MANY_LINES;
  const isWorthIt = lines.length > 1 && (!isMany || (yield* mayHaveRule(lines, module, { effort, setApart })));
  const found = isWorthIt ? yield* foundRules(lines, module, { effort, setApart }) : [];
  const half = found.filter(({ wrong, lines: of, chance }) => wrong.length * 2 < of && chance < 1);
  const known = merged(half, lines);
  const { rules, alsoFront } = setApart
    ? { rules: known, alsoFront: false }
    : yield* placed(known, lines, module, apart);
  const [best] = rules;
  const rivals = rules.slice(1).filter((rule) => best !== undefined && isRival(rule, best));
  const isKnown = best !== undefined && best.chance <= SURE && !leavesTooMany(best);
  return {
    // Beside one that is known, what leaves more lines is no rule.
    rules: isKnown ? [best, ...rivals] : rules,
    alsoFront,
    damaged: !isKnown ? [] : best.wrong.filter((line) => rivals.every(({ wrong }) => wrong.includes(line))),
    undecided: rivals.map((rule) => ({ rule, telling: tellingLine(best as LineRule, rule, lines) })),
    nearest: best === undefined ? nearestOf(found) : undefined,
  };
}

/** Whether the lines do not decide between two rules: of one line more that a part of each explains the rest may be damaged. */
function isRival(rule: LineRule, best: LineRule): boolean {
  const isLess = ({ coverage: { spare } }: LineRule) => spare.first + spare.last > 0;
  if (isLess(best) && !isLess(rule)) return rule.chance <= SURE && rule.wrong.length <= best.wrong.length + 1;
  // At the other end the same bytes are other data, so that how sure each is says little of which it is.
  const most = rule.front === best.front ? best.chance * CLEAR : Math.max(SURE, best.chance * CLEAR);
  return rule.wrong.length <= best.wrong.length && rule.chance <= most;
}

/**
 * Whether all rules are tried, or only those that are common, since the lines may be read in another way, or only those
 * that are not, where the common ones were tried: of lines of a memory, whose labels are no part of a rare rule.
 */
export type Effort = 'common' | 'rare' | 'all';

export interface LineSumWish {
  readonly effort: Effort;
  /** Whether the written form sets the sum of each line apart from its data. */
  readonly setApart: boolean;
  /** The end at which the lines show one byte apart, which most likely is the sum. */
  readonly apart?: End | undefined;
}

/** Of more lines than these, some are looked at first. */
const MANY_LINES = 4096;

/** So many lines show a rule that half of them follow, whatever its width. */
const ENOUGH_LINES = 64;

/**
 * Whether all of the lines are worth a search: those of whole memories have no sums most often, and that some of them,
 * from everywhere and of different bytes, follow no rule says as much in a fraction of the time.
 */
export function* mayHaveRule(
  lines: readonly LineToLearn[],
  module: number | undefined,
  wish: LineSumWish,
): Steps<boolean> {
  const different: LineToLearn[] = [];
  const known = new Set<string>();
  for (const [i, line] of lines.entries()) {
    if (i % ENOUGH_LINES === 0) yield;
    const bytes = hexBytes(line.bytes);
    if (known.has(bytes)) continue;
    known.add(bytes);
    different.push(line);
  }
  const some = evenly(different, Math.min(ENOUGH_LINES, different.length));
  if (some.length <= 1) return true;
  const found = yield* foundRules(some, module, wish);
  return found.some(({ wrong, lines: of, chance }) => wrong.length * 2 < of && chance < 1);
}

/** Rules of one search after the other, until one of them explains all lines. */
function* foundRules(
  lines: readonly LineToLearn[],
  module: number | undefined,
  { effort, setApart }: LineSumWish,
): Steps<LineRule[]> {
  const found: LineRule[] = [];
  // A sum with end-around carry looks like a plain one with a few damaged lines, so a damaged line is reason to go on;
  // so are lines of another length, which a rule with another start value does not meet.
  const common: readonly Sought[] = [
    [catalogueRules, 0, false],
    [catalogueRules, 0, true],
    [spareRules, 0, false],
    [spareRules, 0, true],
  ];
  const others: readonly Sought[] = [
    [hiddenModules, isOneLength(lines) ? lines.length / 5 : 0, false],
    [unknownCrcs, 0, false],
    [unknownCrcs, 0, true],
  ];
  const rare: readonly Sought[] = [
    [unknownCrcsOverData, 0, false],
    [unknownCrcsOverData, 0, true],
  ];
  const seeksFor: Readonly<Record<Effort, readonly Sought[]>> = { common, rare, all: [...common, ...others] };
  // A few damaged lines are no reason to look at the other end of the lines. At a part of them they are: where a byte that
  // is not covered is nearly always the same, it is the other lines that seem damaged.
  const isFound = ({ chance, wrong, ...rule }: LineRule) =>
    chance < SURE && wrong.length * 5 <= lines.length && !isShadow(rule);
  for (const [seek, enough, front] of seeksFor[effort]) {
    if (front && (setApart || found.some(isFound))) continue;
    const fewest = seek === spareRules ? fewestWrong(found.filter(isFound)) : Number.POSITIVE_INFINITY;
    for (const width of WIDTHS)
      found.push(...(yield* sought(seek, lines, width, module, front)).filter(({ wrong }) => wrong.length < fewest));
    if (!found.some((rule) => rule.chance < SURE && rule.wrong.length <= enough && !isShadow(rule))) continue;
    // The last byte of a wider CRC follows a narrow one where the polynomial of that divides its own.
    if (seek === catalogueRules)
      for (const width of WIDTHS)
        if (found.some((rule) => isFound(rule) && isCrcBelow(rule, width)))
          found.push(...(yield* sought(unknownCrcs, lines, width, module, front)));
    break;
  }
  const [best] = merged(found.filter(isFound), lines);
  return best === undefined || best.isPlain ? found : [...found, ...(yield* withoutConstant(lines, best))];
}

/**
 * Rules that need no constant and leave out bytes that are the same in all lines: a constant that was solved for may stand
 * for just these bytes, taken away again.
 */
function* withoutConstant(lines: readonly LineToLearn[], { width, front, module }: LineRule): Steps<LineRule[]> {
  const seek: Seek = (some, wide, number) => spareRules(some, wide, number, (spare) => areAlike(some, wide, spare));
  return (yield* sought(seek, lines, width, module, front)).filter(({ isPlain: plain }) => plain);
}

/** Whether the data bytes that would be left out are the same in all lines. */
function areAlike(lines: readonly LineToLearn[], width: number, { first, last }: Spare): boolean {
  const leftOut = ({ bytes }: LineToLearn) =>
    hexBytes([...bytes.subarray(0, first), ...bytes.subarray(bytes.length - width - last, bytes.length - width)]);
  const [one] = lines;
  return one !== undefined && lines.every((line) => leftOut(line) === leftOut(one));
}

function fewestWrong(rules: readonly LineRule[]): number {
  return rules.reduce((fewest, { wrong }) => Math.min(fewest, wrong.length), Number.POSITIVE_INFINITY);
}

/** What a search finds for sums of a width at one end of the lines. */
function* sought(
  seek: Seek,
  lines: readonly LineToLearn[],
  width: number,
  module: number | undefined,
  front: boolean,
): Steps<readonly LineRule[]> {
  if (lines.some(({ bytes }) => bytes.length <= width)) return [];
  if (!front) return yield* seek(lines, width, module);
  const turned = lines.map((line) => ({ ...line, bytes: withSumAtEnd(line.bytes, width) }));
  const original = new Map(turned.map((line, i) => [line, lines[i] as LineToLearn]));
  const rules = yield* seek(turned, width, module);
  return rules.map((rule) => ({ ...rule, front, wrong: rule.wrong.map((line) => original.get(line) ?? line) }));
}

/** With so many bits against it, a place of the sum is out of the question; and with so few for it, it is not the likely one. */
const OUT = 12;
const LIKELY = 2;

/**
 * Of some sums of one byte any byte of a line could be the one that is stored. The last one is what people expect; where
 * the first one looks more like a sum, it is undecided, or the first. A sign that sets one of them apart says which it is,
 * unless the numbers say the other.
 */
function* placed(
  rules: readonly LineRule[],
  lines: readonly LineToLearn[],
  module: number | undefined,
  apart: End | undefined,
): Steps<Pick<LineSumSearch, 'rules' | 'alsoFront'>> {
  const [best] = rules;
  if (best === undefined || best.front || best.chance > SURE || !isSymmetric(best)) return { rules, alsoFront: false };
  const seek: Seek = (turned, width) =>
    fitted(turned, width, best.coverage, module ?? best.module, symmetricTemplates(), rules.length, 1);
  const fronts = (yield* sought(seek, lines, 1, module, true)).filter(
    ({ wrong, chance }) => wrong.length <= best.wrong.length && chance <= SURE,
  );
  const [front] = merged(fronts, lines);
  if (front === undefined) return { rules, alsoFront: false };
  const bits = sumAtEndBits(lines);
  if (apart !== undefined && (apart === 'front' ? -bits : bits) > -LIKELY)
    return { rules: apart === 'front' ? [front] : rules, alsoFront: false };
  if (apart === undefined && bits <= -OUT) return { rules: [front], alsoFront: false };
  if (apart !== undefined || bits <= -LIKELY) return { rules: [best, front, ...rules.slice(1)], alsoFront: false };
  return { rules, alsoFront: true };
}

/** A sum with end-around carry of one byte comes out wherever a complemented sum of two bytes is part of the line. */
function isShadow({ spec, width }: Pick<LineRule, 'spec' | 'width'>): boolean {
  return spec.method === 'add-end-around' && width === 1;
}

function isCrcBelow({ spec, width }: LineRule, wider: number): boolean {
  return spec.method === 'crc' && width < wider;
}

/** What is sought, at which end of the lines, and how many lines it may leave for the search to end. */
type Sought = readonly [seek: Seek, enough: number, front: boolean];

type Seek = (lines: readonly LineToLearn[], width: number, module: number | undefined) => Steps<LineRule[]>;

function isOneLength(lines: readonly LineToLearn[]): boolean {
  return lines.every(({ bytes }) => bytes.length === lines[0]?.bytes.length);
}

/** Labels of more numbers than these are no part of a sum. */
const MOST_NUMBERS = 4;

/** How many numbers the labels of lines have. */
function numbersIn([first]: readonly LineToLearn[]): number {
  return first === undefined ? 1 : (numbersOf(first.label)?.length ?? 1);
}

function coveragesFor(lines: readonly LineToLearn[]): readonly LineCoverage[] {
  const numbers = numbersIn(lines);
  return numbers > MOST_NUMBERS ? [] : lineCoverages(numbers);
}

/** All methods of the catalogue over all coverages, with the constants solved for. */
function* catalogueRules(lines: readonly LineToLearn[], width: number, module: number | undefined): Steps<LineRule[]> {
  return yield* rulesOver(lines, width, module, coveragesFor(lines));
}

/** The same over a part of the data bytes. */
function* spareRules(
  lines: readonly LineToLearn[],
  width: number,
  module: number | undefined,
  isTried: (spare: Spare) => boolean = () => true,
): Steps<LineRule[]> {
  const least = lines.reduce((least, { bytes }) => Math.min(least, bytes.length), Number.POSITIVE_INFINITY) - width;
  const spares = SPARES.filter((spare) => spare.first + spare.last < least - 1 && isTried(spare));
  const coverages = spares.flatMap((spare) => usualCoverages(numbersIn(lines), spare));
  return yield* rulesOver(lines, width, module, coverages);
}

function* rulesOver(
  lines: readonly LineToLearn[],
  width: number,
  module: number | undefined,
  coverages: readonly LineCoverage[],
): Steps<LineRule[]> {
  const templates = yield* templateSteps(width);
  // The sum may be at either end, and as wide as any.
  const tried = templates.length * coverages.length * 4 * WIDTHS.length;
  const found: LineRule[] = [];
  for (const coverage of coverages) {
    const hidesModule = coverage.over.includes('module') && module === undefined;
    const wanted = templates.filter(({ sensitive, free }) => {
      if (!sensitive && !isUsualOrder(coverage)) return false;
      // Where the order does not matter, an unknown module number is part of the constant.
      return !hidesModule || (sensitive && free);
    });
    found.push(...(yield* fitted(lines, width, coverage, module, wanted, tried, 1)));
  }
  return found;
}

/** Sums without a constant of their own over a module number that nobody gave. */
function* hiddenModules(lines: readonly LineToLearn[], width: number, module: number | undefined): Steps<LineRule[]> {
  if (module !== undefined) return [];
  const sums = (yield* templateSteps(width)).flatMap((template) => {
    const spec = template.specOf(0n);
    if (template.free || spec.method === 'crc') return [];
    const checksum = checksumOf(spec);
    return checksum.law.kind === 'modular' ? [{ template, checksum, law: checksum.law }] : [];
  });
  const coverages = coveragesFor(lines).filter(({ over }) => over.includes('module'));
  const tried = sums.length * coverages.length;
  const found: LineRule[] = [];
  for (const coverage of coverages) {
    for (const { template, checksum, law } of sums) {
      if (!template.sensitive && !isUsualOrder(coverage)) continue;
      yield;
      const samples = lineSamples(lines, width, coverage, 0, template.order);
      const placed = samples.map((sample) => ({ sample, at: placeOfModule(coverage, sample, numbersIn(lines)) }));
      const solved = hiddenModule(checksum, law, placed);
      if (solved === undefined) continue;
      found.push(...(yield* fitted(lines, width, coverage, solved, [template], tried, 16 / checksum.bits)));
    }
  }
  return found;
}

/** A polynomial follows from so many lines; all lines then have their say. */
const ENOUGH_FOR_CRC = 24;

/** CRCs that no catalogue names. */
function* unknownCrcs(
  lines: readonly LineToLearn[],
  width: number,
  module: number | undefined,
  coverages: readonly LineCoverage[] = coveragesFor(lines),
): Steps<LineRule[]> {
  const tried = 2 * coverages.length * (width === 1 ? 1024 : 8);
  const orders: readonly ByteOrder[] = width === 1 ? ['big'] : ['big', 'little'];
  const some = severalOfEachLength(lines);
  const catalogue = isOneLength(lines) ? [] : madeDivisions(8 * width);
  // Bytes that are the same before each line of one length are part of the constant.
  const alone = isOneLength(lines)
    ? coverages.filter(({ over: [first] }) => first !== 'length' && (first !== 'module' || module !== undefined))
    : coverages;
  const found: LineRule[] = [];
  for (const coverage of alone) {
    for (const order of orders) {
      const samples = lineSamples(some, width, coverage, module ?? 0, order);
      const templates = yield* crcSteps(samples, 8 * width, order, catalogue);
      const constants = (width === 1 ? 1 : 2) + (isOneLength(lines) ? 0 : 1);
      found.push(...(yield* fitted(lines, width, coverage, module, templates, tried, constants)));
    }
  }
  return found;
}

function* unknownCrcsOverData(lines: readonly LineToLearn[], width: number, module: number | undefined) {
  const overData = coveragesFor(lines).filter(({ over }) => over.every((part) => part === 'data'));
  return yield* unknownCrcs(lines, width, module, overData);
}

/** Enough lines for a polynomial, of different lengths as far as there are any. */
function severalOfEachLength(lines: readonly LineToLearn[]): readonly LineToLearn[] {
  const seen = new Map<number, number>();
  const rank = lines.map(({ bytes: { length } }) => {
    const before = seen.get(length) ?? 0;
    seen.set(length, before + 1);
    return before;
  });
  return [...lines.keys()]
    .sort((i, j) => (rank[i] as number) - (rank[j] as number) || i - j)
    .slice(0, ENOUGH_FOR_CRC)
    .map((i) => lines[i] as LineToLearn);
}

/** Where the two bytes of the module number begin in a run. */
function placeOfModule({ over, labelBytes }: LineCoverage, { run }: Sample, numbers: number): number {
  const lengthOf = (part: LineSumPart) =>
    part === 'module' ? 2 : part === 'length' ? 1 : part === 'label' ? numbers * labelBytes : labelBytes;
  const others = over.reduce((sum, part) => sum + (part === 'data' ? 0 : lengthOf(part)), 0);
  return over
    .slice(0, over.indexOf('module'))
    .reduce((sum, part) => sum + (part === 'data' ? run.length - others : lengthOf(part)), 0);
}

function* fitted(
  lines: readonly LineToLearn[],
  width: number,
  coverage: LineCoverage,
  module: number | undefined,
  templates: readonly Template[],
  tried: number,
  solved: number,
): Steps<LineRule[]> {
  const samplesOf = (some: readonly LineToLearn[]) => {
    const known = new Map<ByteOrder, readonly Sample[]>();
    return (order: ByteOrder) => {
      const samples = known.get(order) ?? lineSamples(some, width, coverage, module ?? 0, order);
      known.set(order, samples);
      return samples;
    };
  };
  const first = samplesOf(lines.slice(0, FIRST));
  const all = samplesOf(lines);
  const found: LineRule[] = [];
  for (const template of templates) {
    yield;
    const { order } = template;
    if (!isPromising(template, first(order))) continue;
    const taken = all(order);
    const fit = fitTemplate(template, taken);
    const weighed = weigh(taken, fit, width, tried, solved);
    if (weighed === undefined) continue;
    found.push({
      width,
      front: false,
      spec: fit.spec,
      order,
      coverage,
      module: coverage.over.includes('module') ? module : undefined,
      lines: lines.length,
      wrong: fit.wrong.map((i) => lines[i] as LineToLearn),
      ...weighed,
      cost: template.cost + coverageCost(coverage) + (isPlain(fit) ? 0 : 3),
      isPlain: isPlain(fit),
    });
  }
  return found;
}

/**
 * How sure a fit is; undefined where what it explains follows without it: lines that are all alike, sums that never
 * change, bytes that copy another one.
 */
function weigh(
  samples: readonly Sample[],
  fit: Fit,
  width: number,
  tried: number,
  solved: number,
): Pick<LineRule, 'chance' | 'distinct'> | undefined {
  const distinct = distinctRuns(samples);
  // No more than half of the lines is no rule, whatever else they say.
  if (fit.wrong.length * 2 >= samples.length) return { chance: 1, distinct };
  const wrong = new Set(fit.wrong);
  const constants = isPlain(fit) && solved === 1 ? 0 : solved;
  const chanceAmong = (places: readonly number[], looks: number) => {
    const of = (isWrong: boolean) => places.filter((i) => wrong.has(i) === isWrong).map((i) => samples[i] as Sample);
    const evidence = evidenceOf(of(false), width);
    const others = distinctRuns(of(true));
    const bits = bitsFor(evidence, 8 * width * constants);
    return evidence.bits === 0 ? undefined : chanceOf(looks * tried, bits, evidence.distinct + others, others);
  };
  const places = [...samples.keys()];
  const chance = chanceAmong(places, 1);
  if (chance === undefined) return undefined;
  if (wrong.size === 0 || samples.length <= ENOUGH_TO_WEIGH) return { chance, distinct };
  // What lines say has an end; in how many ways some of them may be damaged has none. A part of them is a second look.
  const part = chanceAmong(evenly(places, ENOUGH_TO_WEIGH), 2);
  return { chance: Math.min(chance, part ?? 1), distinct };
}

/** So many lines, from everywhere, say as much of a rule as all. */
const ENOUGH_TO_WEIGH = 256;

function evenly<T>(all: readonly T[], count: number): readonly T[] {
  return Array.from({ length: count }, (_, i) => all[Math.floor((i * all.length) / count)] as T);
}

/** The rule that explains most, against what a wrong rule explains anyway. */
function nearestOf(rules: readonly LineRule[]): LineRule | undefined {
  return rules.reduce<LineRule | undefined>(
    (best, rule) => (best === undefined || rule.wrong.length < best.wrong.length ? rule : best),
    undefined,
  );
}

function distinctLines(lines: readonly LineToLearn[]): readonly LineToLearn[] {
  const seen = new Set<string>();
  return lines.filter(({ label, bytes }) => {
    const key = `${label}:${hexBytes(bytes)}`;
    return !seen.has(key) && seen.add(key);
  });
}
