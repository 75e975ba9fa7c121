import { hexBytes } from '../../base/hex.js';
import type { ByteOrder } from '../../base/number.js';
import type { Steps } from '../../base/steps.js';
import { checksumOf } from '../../checksum/registry.js';
import { bitsFor, distinctRuns, evidenceOf } from './evidence.js';
import { chanceOf, FIRST, type Fit, fitTemplate, isPlain, isPromising } from './fit.js';
import { hiddenModule } from './hiddenModule.js';
import {
  coverageCost,
  isUsualOrder,
  type LineCoverage,
  type LineToLearn,
  lineCoverages,
  lineSamples,
  type Sample,
} from './line.js';
import type { LineRule } from './lineRule.js';
import { merged, type TellingLine, tellingLine } from './rivals.js';
import { type Template, templateSteps } from './template.js';
import { crcSteps, madeDivisions } from './unknownCrc.js';

export interface LineSumSearch {
  /** Rules that more than half of the lines follow, best first. Rules that can never differ on such lines are one. */
  readonly rules: readonly LineRule[];
  /** Rules beside the first that the given lines meet as well, each with a line that would tell them apart. */
  readonly undecided: readonly { readonly rule: LineRule; readonly telling: TellingLine | undefined }[];
  /** Lines that neither the best rule nor any of its rivals explains, where these are sure by the other lines. */
  readonly damaged: readonly LineToLearn[];
  /** Where no rule holds: the one that most lines follow. */
  readonly nearest: LineRule | undefined;
}

/** A sum of this many bytes may stand at the end of a line. */
const WIDTHS = [1, 2, 4, 3, 8] as const;

/** Beyond this probability of chance a rule is no finding, and rarer rules are tried too. */
export const SURE = 1e-6;

/** A rule that foretells so much less than another, such as one byte of a sum of three, is no rival of it. */
const CLEAR = 1e6;

/**
 * Searches for the rule that gives the last bytes of each line from what stands before them. `module` is the module's
 * number where a header says it. Lines that are alike in label and bytes count once, as they say nothing new.
 */
export function* lineSumSteps(all: readonly LineToLearn[], module: number | undefined): Steps<LineSumSearch> {
  const lines = distinctLines(all);
  const found: LineRule[] = [];
  // A sum with end-around carry looks like a plain one with a few damaged lines, so a damaged line is reason to go on;
  // so are lines of another length, which a rule with another start value does not meet.
  const seeks: readonly (readonly [Seek, number])[] = [
    [catalogueRules, 0],
    [hiddenModules, isOneLength(lines) ? lines.length / 5 : 0],
    [unknownCrcs, 0],
  ];
  for (const [seek, enough] of lines.length > 1 ? seeks : []) {
    for (const width of WIDTHS) {
      if (lines.every(({ bytes }) => bytes.length > width)) found.push(...(yield* seek(lines, width, module)));
    }
    if (!found.some(({ chance, wrong }) => chance < SURE && wrong.length <= enough)) continue;
    // The last byte of a wider CRC follows a narrow one where the polynomial of that divides its own.
    if (seek === catalogueRules)
      for (const width of WIDTHS)
        if (lines.every(({ bytes }) => bytes.length > width) && found.some((rule) => isCrcBelow(rule, width)))
          found.push(...(yield* unknownCrcs(lines, width, module)));
    break;
  }
  const half = found.filter(({ wrong, lines: of, chance }) => wrong.length * 2 < of && chance < 1);
  const rules = merged(half, lines);
  const [best] = rules;
  const rivals = rules
    .slice(1)
    .filter(
      (rule) => best !== undefined && rule.wrong.length <= best.wrong.length && rule.chance <= best.chance * CLEAR,
    );
  return {
    rules,
    damaged:
      best === undefined || best.chance > SURE
        ? []
        : best.wrong.filter((line) => rivals.every(({ wrong }) => wrong.includes(line))),
    undecided: rivals.map((rule) => ({ rule, telling: tellingLine(best as LineRule, rule, lines) })),
    nearest: best === undefined ? nearestOf(found) : undefined,
  };
}

function isCrcBelow({ spec, width }: LineRule, wider: number): boolean {
  return spec.method === 'crc' && width < wider;
}

type Seek = (lines: readonly LineToLearn[], width: number, module: number | undefined) => Steps<LineRule[]>;

function isOneLength(lines: readonly LineToLearn[]): boolean {
  return lines.every(({ bytes }) => bytes.length === lines[0]?.bytes.length);
}

const COVERAGES = lineCoverages();

/** All methods of the catalogue over all coverages, with the constants solved for. */
function* catalogueRules(lines: readonly LineToLearn[], width: number, module: number | undefined): Steps<LineRule[]> {
  const templates = yield* templateSteps(width);
  const tried = templates.length * COVERAGES.length * 2;
  const found: LineRule[] = [];
  for (const coverage of COVERAGES) {
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
  const coverages = COVERAGES.filter(({ over }) => over.includes('module'));
  const tried = sums.length * coverages.length;
  const found: LineRule[] = [];
  for (const coverage of coverages) {
    for (const { template, checksum, law } of sums) {
      if (!template.sensitive && !isUsualOrder(coverage)) continue;
      yield;
      const samples = lineSamples(lines, width, coverage, 0, template.order);
      const placed = samples.map((sample) => ({ sample, at: placeOfModule(coverage, sample) }));
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
function* unknownCrcs(lines: readonly LineToLearn[], width: number, module: number | undefined): Steps<LineRule[]> {
  const tried = COVERAGES.length * (width === 1 ? 1024 : 8);
  const orders: readonly ByteOrder[] = width === 1 ? ['big'] : ['big', 'little'];
  const some = severalOfEachLength(lines);
  const catalogue = isOneLength(lines) ? [] : madeDivisions(8 * width);
  // Bytes that are the same before each line of one length are part of the constant.
  const alone = isOneLength(lines)
    ? COVERAGES.filter(({ over: [first] }) => first !== 'length' && (first !== 'module' || module !== undefined))
    : COVERAGES;
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
function placeOfModule({ over, labelBytes }: LineCoverage, { run }: Sample): number {
  const lengths = { module: 2, label: labelBytes, length: 1 };
  const others = over.reduce((sum, part) => sum + (part === 'data' ? 0 : lengths[part]), 0);
  return over
    .slice(0, over.indexOf('module'))
    .reduce((sum, part) => sum + (part === 'data' ? run.length - others : lengths[part]), 0);
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
      spec: fit.spec,
      order,
      coverage,
      module: coverage.over.includes('module') ? module : undefined,
      lines: lines.length,
      wrong: fit.wrong.map((i) => lines[i] as LineToLearn),
      ...weighed,
      cost: template.cost + coverageCost(coverage) + (isPlain(fit) ? 0 : 3),
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
  const evidence = evidenceOf(
    samples.filter((_, i) => !wrong.has(i)),
    width,
  );
  if (evidence.bits === 0) return undefined;
  const constants = isPlain(fit) && solved === 1 ? 0 : solved;
  const others = distinctRuns(samples.filter((_, i) => wrong.has(i)));
  const chance = chanceOf(tried, bitsFor(evidence, width, constants), evidence.distinct + others, others);
  return { chance, distinct };
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
