import { hexBytes } from '../../base/hex.js';
import { type ByteOrder, bytesOfNumber, numberOf } from '../../base/number.js';
import type { Steps } from '../../base/steps.js';
import { valueOver } from '../../checksum/checksum.js';
import { checksumOf, type SumSpec } from '../../checksum/registry.js';
import type { Label } from '../../format/row.js';
import {
  contentsOf,
  type DumpToLearn,
  differentLines,
  differentRuns,
  runOf,
  type TotalCoverage,
  type TotalPlaceToLearn,
} from './coveredLines.js';
import { evidenceOf, independentRuns, surprise } from './evidence.js';
import { chanceOf, type Fit, fitTemplate, isPlain, isPromising } from './fit.js';
import { freedomOfValue } from './fixedByLines.js';
import type { Sample } from './line.js';
import type { LineRule } from './lineRule.js';
import { type Template, templateSteps } from './template.js';
import { crcSteps } from './unknownCrc.js';

export interface TotalRule {
  readonly place: TotalPlaceToLearn;
  readonly spec: SumSpec;
  readonly order: ByteOrder;
  readonly covers: TotalCoverage;
  /** The same value is stored in dumps that differ: somebody kept it by balancing. */
  readonly kept: boolean;
  /** Dumps (by number) whose stored total the rule does not give. */
  readonly wrong: readonly number[];
  /** Whether dumps with different stored values follow it; one value alone may be anything. */
  readonly isConfirmed: boolean;
  readonly chance: number;
  readonly cost: number;
  /** Whether no constant was solved for. */
  readonly isPlain: boolean;
  /** Lines at the ends that are the same in all dumps, so that another constant does as well without them. */
  readonly unseen: readonly Label[];
}

/** With fewer dumps than these a constant of the total's own cannot be told from chance. */
const FOR_CONSTANTS = 3;

/** Beyond this probability of chance a total is not named; one within a line, where any byte could be taken for one, is doubted more. */
const LIKELY = { record: 0.05, line: 0.001 } as const;

/**
 * Bits that a further dump with the same stored value is worth. A change of a line and that of its own sum often cancel
 * out, which makes any sum over both of them stay as it is.
 */
const KEPT = { withSums: 1, data: 4 } as const;

/** With more lines than these only totals over all lines are looked for. */
const MOST_LINES_FOR_RANGES = 64;
const MOST_RANGES = (MOST_LINES_FOR_RANGES * (MOST_LINES_FOR_RANGES - 1)) / 2;

/**
 * Searches for sums over many lines: first in the records that are no lines, then at the end of the last line. Best
 * first; empty where nothing fits better than chance. What follows from the rule for lines is none; `before` is how many
 * places were looked at in vain already.
 */
export function* totalSteps(dumps: readonly DumpToLearn[], rule?: LineRule, before = 0): Steps<readonly TotalRule[]> {
  const places = placesOf(dumps);
  const found: TotalRule[] = [];
  for (const place of places) {
    found.push(...(yield* rulesAt(dumps, place, rule, places.length + before)));
  }
  const order = (a: TotalRule, b: TotalRule) =>
    a.wrong.length - b.wrong.length || a.chance - b.chance || a.cost - b.cost;
  return distinctRules(found.sort(order), dumps);
}

const MOST_COMPARED = 100;

/** Of rules that never differ the plainest alone, such as both byte orders of an end-around sum. */
function distinctRules(rules: readonly TotalRule[], dumps: readonly DumpToLearn[]): readonly TotalRule[] {
  const byMeaning = new Map<string, TotalRule>();
  for (const rule of rules.slice(0, MOST_COMPARED)) {
    const checksum = checksumOf(rule.spec);
    const width = Math.ceil(checksum.bits / 8);
    // The start and the end value of a CRC are one constant where the covered bytes are always as many.
    const length = dumps[0] === undefined ? 0 : runOf(dumps[0], rule.covers, { place: rule.place, width }).length;
    const values = [7, 91, 201].map((factor) => {
      const run = Uint8Array.from({ length }, (_, i) => (i + 1) * factor + (i >> 3));
      return hexBytes(bytesOfNumber(valueOver(checksum, run), width, rule.order));
    });
    const meaning = JSON.stringify([rule.place, rule.covers, values]);
    const known = byMeaning.get(meaning);
    if (known === undefined || rule.cost < known.cost) byMeaning.set(meaning, rule);
  }
  return [...byMeaning.values()];
}

/**
 * Rules with what the rule for the lines fixes of them taken from the evidence; without those that say nothing beyond it,
 * or no longer enough.
 */
function beyondLines(
  rules: readonly TotalRule[],
  dumps: readonly DumpToLearn[],
  rule: LineRule | undefined,
): TotalRule[] {
  const [dump] = dumps;
  if (dump === undefined || rule === undefined) return [...rules];
  return rules.flatMap((total) => {
    if (!total.covers.sums) return total;
    const { free, fixed } = freedomOfValue(dump.lines, rule, (lines) => gapIn({ ...dump, lines }, total));
    const chance = Math.min(1, total.chance * 2 ** (fixed * (dumps.length - total.wrong.length)));
    return free === 0 || chance > LIKELY[total.place.kind] ? [] : { ...total, chance };
  });
}

/** What a total differs by from the bytes in which it is stored; of a record, what it comes to. */
function gapIn(dump: DumpToLearn, { place, spec, order, covers }: TotalRule): bigint {
  const checksum = checksumOf(spec);
  const width = Math.ceil(checksum.bits / 8);
  const value = valueOver(checksum, runOf(dump, covers, { place, width }));
  const last =
    place.kind === 'line' ? dump.lines.at(-1)?.data.subarray(place.byte - 1, place.byte - 1 + width) : undefined;
  return last === undefined ? value : value ^ numberOf(last, order);
}

/** Where a total may be stored: in records, or else at the end of the last line. */
function placesOf(dumps: readonly DumpToLearn[]): readonly Stored[] {
  const records = placesInRecords(dumps);
  return records.length > 0 ? records : placesInLines(dumps);
}

/** How many places a search for totals looks at. */
export function placesTried(dumps: readonly DumpToLearn[]): number {
  return placesOf(dumps).length;
}

interface Stored {
  readonly place: TotalRule['place'];
  readonly width: number;
  readonly bytesIn: (dump: DumpToLearn) => Uint8Array;
}

/** Records that all dumps have, with as many bytes as a sum could have. */
function placesInRecords(dumps: readonly DumpToLearn[]): readonly Stored[] {
  return (dumps[0]?.others ?? []).flatMap(({ label, bytes }) => {
    const bytesIn = (dump: DumpToLearn) =>
      dump.others.find((other) => other.label === label)?.bytes ?? new Uint8Array(0);
    const width = bytes.length;
    const fits = [1, 2, 3, 4, 8].includes(width) && dumps.every((dump) => bytesIn(dump).length === width);
    return fits ? [{ place: { kind: 'record', label } as const, width, bytesIn }] : [];
  });
}

function placesInLines(dumps: readonly DumpToLearn[]): readonly Stored[] {
  const last = dumps[0]?.lines.at(-1);
  if (last === undefined) return [];
  // Bytes at the end of the last line are often filler; zeros there are no sum.
  return [2, 4, 1].flatMap((width) => {
    const byte = last.data.length - width + 1;
    const bytesIn = (dump: DumpToLearn) =>
      dump.lines.at(-1)?.data.subarray(byte - 1, byte - 1 + width) ?? new Uint8Array(0);
    return byte < 1 || dumps.every((dump) => isZero(bytesIn(dump)))
      ? []
      : [{ place: { kind: 'line', line: last.label, byte } as const, width, bytesIn }];
  });
}

function* rulesAt(
  dumps: readonly DumpToLearn[],
  stored: Stored,
  rule: LineRule | undefined,
  places: number,
): Steps<TotalRule[]> {
  const templates = yield* templateSteps(stored.width);
  const hasSums = dumps.some(({ lines }) => lines.some(({ sum }) => sum.length > 0));
  const labels = dumps[0]?.lines.map(({ label }) => label) ?? [];
  // The sum of the line in which a total is stored covers the total, so no total covers that sum.
  const isCircular = (to: Label | undefined) => stored.place.kind === 'line' && stored.place.line === to;
  const covering = (range: TotalCoverage['range']): TotalCoverage[] =>
    hasSums && !isCircular(range === undefined ? labels.at(-1) : range.to)
      ? [
          { range, sums: false },
          { range, sums: true },
        ]
      : [{ range, sums: false }];
  const fits = function* (ranges: readonly TotalCoverage['range'][]): Steps<TotalRule[]> {
    const parts = ranges.flatMap(covering);
    return beyondLines(yield* fitsOf(dumps, stored, parts, templates, places), dumps, rule);
  };
  const overAll = yield* fits([undefined]);
  if (overAll.some(({ isPlain: plain }) => plain)) return overAll;
  const ends = alikeEnds(dumps);
  if (overAll.length > 0) {
    // A constant may stand for lines that are never covered, which are the same in all dumps.
    const without = (yield* fits(rangesWithout(labels, ends))).filter(({ isPlain: plain }) => plain);
    return [...overAll.map((total) => ({ ...total, unseen: unseenBy(total, labels, ends) })), ...without];
  }
  if (labels.length > MOST_LINES_FOR_RANGES) return [];
  return yield* fits(labels.flatMap((from, i) => labels.slice(i + 1).map((to) => ({ from, to }))));
}

/** How many lines at either end are the same in all dumps. */
interface Ends {
  readonly first: number;
  readonly last: number;
}

function alikeEnds(dumps: readonly DumpToLearn[]): Ends {
  const contents = dumps.map(({ lines }) => lines.map(({ data, sum }) => `${hexBytes(data)} ${hexBytes(sum)}`));
  const differs = (contents[0] ?? []).map((content, at) => contents.some((one) => one[at] !== content));
  const [first, last] = [differs.indexOf(true), differs.lastIndexOf(true)];
  return first < 0 ? { first: 0, last: 0 } : { first, last: differs.length - 1 - last };
}

/** The ranges that leave out some of these lines, at most so many as are looked at elsewhere. */
function rangesWithout(labels: readonly Label[], { first, last }: Ends): readonly TotalCoverage['range'][] {
  const [froms, tos] = [labels.slice(0, first + 1), labels.slice(labels.length - 1 - last)];
  const ranges = froms.flatMap((from) => tos.map((to) => ({ from, to }))).filter(({ from, to }) => from !== to);
  return ranges.slice(0, MOST_RANGES).filter(({ from, to }) => from !== labels[0] || to !== labels.at(-1));
}

/** Lines before all that differ are one more constant of any sum; those behind them of one that only adds. */
function unseenBy(
  { isPlain: plain, spec }: TotalRule,
  labels: readonly Label[],
  { first, last }: Ends,
): readonly Label[] {
  if (plain) return [];
  return [...labels.slice(0, first), ...(spec.method === 'crc' || last === 0 ? [] : labels.slice(-last))];
}

function* fitsOf(
  dumps: readonly DumpToLearn[],
  stored: Stored,
  coverages: readonly TotalCoverage[],
  templates: readonly Template[],
  places: number,
): Steps<TotalRule[]> {
  // A sum that may have a constant stands for two rules: with zero, and with ones.
  const ways = templates.reduce((sum, { free }) => sum + (free ? 2 : 1), 0);
  const tried = places * ways * coverages.length;
  const found: TotalRule[] = [];
  if (isCopied(dumps, stored)) return found;
  const worth = Math.min(...dumps.map((dump) => worthOf(dump, stored)));
  const contents = contentsOf(dumps);
  const numbersIn = {
    big: dumps.map((dump) => numberOf(stored.bytesIn(dump), 'big')),
    little: dumps.map((dump) => numberOf(stored.bytesIn(dump), 'little')),
  };
  const isOne = new Set(numbersIn.big).size === 1;
  for (const covers of coverages) {
    yield;
    // Lines that are all alike, or cancel out in pairs, give a value that follows from nothing.
    const telling = dumps.map((dump, i) => differentLines(dump, contents[i] ?? [], covers) > 1);
    if (!telling.includes(true)) continue;
    const runs = dumps.map((dump) => runOf(dump, covers, stored));
    const samplesIn = (order: ByteOrder): Sample[] =>
      runs.map((run, i) => ({ run, stored: numbersIn[order][i] as bigint }));
    const byOrder = { big: samplesIn('big'), little: samplesIn('little') };
    const distinct = differentRuns(runs);
    const kept = distinct > 1 && isOne;
    const rule = (template: Template, fit: Fit, solved: number, variants = 1): TotalRule[] => {
      const explained = byOrder[template.order].filter((_, i) => telling[i] && !fit.wrong.includes(i));
      const evidence = evidenceOf(explained, stored.width);
      const others = evidence.bits === 0 ? (covers.sums ? KEPT.withSums : KEPT.data) : evidence.bits;
      // A constant that was solved for is one of all of its width, and values that never change confirm none.
      const spent = solved === 0 ? 0 : evidence.bits === 0 ? Number.POSITIVE_INFINITY : solved * 8 * stored.width;
      const independent = Math.min(evidence.independent, independentBeside(dumps, covers, stored, fit));
      const bits = Math.max(0, worth + others * (independent - 1) - spent);
      const chance = chanceOf(tried * variants, bits, distinct, fit.wrong.length);
      if (explained.length === 0 || chance > LIKELY[stored.place.kind] || fit.wrong.length * 2 >= dumps.length)
        return [];
      const cost = template.cost + (covers.sums ? 1 : 0) + (covers.range === undefined ? 0 : 2) + solved;
      return [
        {
          ...{ place: stored.place, spec: fit.spec, order: template.order, covers, kept, wrong: fit.wrong },
          ...{ isConfirmed: new Set(explained.map((sample) => sample.stored)).size > 1, chance, cost },
          ...{ isPlain: solved === 0, unseen: [] },
        },
      ];
    };
    const before = found.length;
    for (const template of templates) {
      yield;
      const fit = fitTotal(template, byOrder[template.order], distinct);
      if (fit !== undefined) found.push(...rule(template, fit, isPlain(fit) ? 0 : 1));
    }
    const isKnown = found.length > before || covers.range !== undefined;
    if (isKnown || distinct < 2 * FOR_CONSTANTS || stored.width < 2) continue;
    for (const order of ['big', 'little'] as const) {
      for (const template of yield* crcSteps(byOrder[order], 8 * stored.width, order)) {
        yield;
        found.push(...rule(template, fitTemplate(template, byOrder[order]), 2, CRC_VARIANTS));
      }
    }
  }
  return found;
}

/** A polynomial may be run in either direction, with its value in either, and stored in either order. */
const CRC_VARIANTS = 8;

/** With few dumps only rules without a constant are taken; the samples could give any constant. */
function fitTotal(template: Template, samples: readonly Sample[], distinct: number): Fit | undefined {
  if (distinct >= FOR_CONSTANTS) return isPromising(template, samples) ? fitTemplate(template, samples) : undefined;
  const [first, ...others] = samples.map(template.residual);
  if (first === undefined || others.some((residual) => residual !== first)) return undefined;
  if (!template.free && first !== 0n) return undefined;
  const fit = { spec: template.specOf(first), constant: first, wrong: [] };
  return isPlain(fit) ? fit : undefined;
}

/** Whether the stored value copies, or complements, as many bytes that stand elsewhere, in the same place of all dumps. */
function isCopied(dumps: readonly DumpToLearn[], { place, width, bytesIn }: Stored): boolean {
  const stored = dumps.map(bytesIn);
  // A single byte is somewhere else by accident.
  if (new Set(stored.map((bytes) => hexBytes(bytes))).size * width < 2) return false;
  const [first] = dumps;
  const copiesAt = (line: number, at: number) => {
    const gap = (stored[0]?.[0] ?? 0) ^ (first?.lines[line]?.data[at] ?? 0);
    if (gap !== 0 && gap !== 0xff) return false;
    return dumps.every(({ lines }, dump) => {
      const data = lines[line]?.data;
      if (data === undefined || at + width > data.length) return false;
      return stored[dump]?.every((byte, i) => (byte ^ (data[at + i] as number)) === gap) === true;
    });
  };
  return (first?.lines ?? []).some(({ label, data }, line) => {
    const end = place.kind === 'line' && place.line === label ? place.byte - 1 : data.length;
    for (let at = 0; at + width <= end; at++) if (copiesAt(line, at)) return true;
    return false;
  });
}

/**
 * How many dumps are independent by what is covered beside the line in which the total is stored. Where nothing differs
 * there, or what differs does not move the total, as lines do that end in a sum of their own, the bytes may be the sum of
 * their own line alone, by a rule that is not known.
 */
function independentBeside(
  dumps: readonly DumpToLearn[],
  covers: TotalCoverage,
  stored: Stored,
  { spec, wrong }: Pick<Fit, 'spec' | 'wrong'>,
): number {
  const { place } = stored;
  if (place.kind !== 'line') return Number.POSITIVE_INFINITY;
  const explained = dumps.filter((_, i) => !wrong.includes(i));
  const isOwn = ({ label }: DumpToLearn['lines'][number]) => label === place.line;
  const [own] = explained[0]?.lines.filter(isOwn) ?? [];
  const runs = explained.map((dump) =>
    runOf(
      { ...dump, lines: dump.lines.map((line) => (own !== undefined && isOwn(line) ? own : line)) },
      covers,
      stored,
    ),
  );
  const checksum = checksumOf(spec);
  return Math.min(independentRuns(runs), new Set(runs.map((run) => valueOver(checksum, run))).size);
}

/** Bits that the stored value of a dump is worth among the bytes that such dumps hold, which are mostly alike. */
function worthOf(dump: DumpToLearn, stored: Stored): number {
  return surprise(stored.bytesIn(dump), runOf(dump, { range: undefined, sums: false }, stored));
}

function isZero(bytes: Uint8Array): boolean {
  return bytes.every((byte) => byte === 0);
}
