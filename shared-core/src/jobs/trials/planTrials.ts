import { unlikeWished, writesFor } from '../../actions/settings.js';
import { listed, type Phrase, phrase } from '../../base/phrase.js';
import { done, type Result, refuse } from '../../base/result.js';
import { finish, type Steps } from '../../base/steps.js';
import { sumsLeft } from '../../checks/sumsLeft.js';
import { alikeCandidates } from '../../learn/findOption/alike.js';
import type { OptionSearch } from '../../learn/findOption/findOption.js';
import { posterior } from '../../learn/findOption/nextDump.js';
import type { OptionPlace } from '../../learn/findOption/partitions.js';
import { addressOfColumn } from '../../learn/findOption/placeInWords.js';
import type { OptionCandidate } from '../../learn/findOption/rank.js';
import { expectedGain } from '../../learn/statistics/information.js';
import { type Cell, presentCells } from '../../model/cell.js';
import { bind, type Dump } from '../../model/dump.js';
import { changeDump } from '../../model/gate.js';
import { readOption } from '../../model/optionReading.js';
import { NO_REASON } from '../../model/protected.js';
import { doubtOf } from '../../options/doubt.js';
import { caution, hazardInWords } from '../../options/hazard.js';
import { liesIn, shareBits } from '../../profile/places.js';
import type { Option, Place } from '../../profile/profile.js';

/** One place set to the value that cars with the equipment have, all sums kept right, and nothing else. */
export interface Trial {
  readonly tried: Tried;
  /** What this trial is expected to tell, in bits, where those before it have shown nothing. */
  readonly gain: number;
  /** How probable it is that this is the place, where those before it have shown nothing. */
  readonly chance: number;
  readonly before: Dump;
  readonly after: Dump;
  readonly cautions: readonly Phrase[];
}

export interface TrialPlan {
  /** Whether the dump is a memory image, whose places are called by their addresses. */
  readonly isImage: boolean;
  /** In the order to try them: those that touch nothing dangerous first, and of these what tells most. */
  readonly trials: readonly Trial[];
  readonly leftOut: readonly { readonly tried: Tried; readonly why: Phrase }[];
}

/** What a trial sets: a place from one value to another. */
export interface Tried {
  readonly place: OptionPlace;
  readonly from: number | undefined;
  readonly to: number;
}

/** A sheet of more trials than these is not worked through by anybody. */
const MOST_TRIALS = 8;

/** Candidates that are looked at; those behind have no weight beside them. */
const MOST_CANDIDATES = 20;

/** A place less probable than this, when its turn comes, is not worth the way to the car. */
const LEAST_CHANCE = 0.01;

/** How often a trial shows the wrong thing: a module that was not reset, a function not looked for (common practice, no published source). */
const MISTAKEN = 0.02;

/**
 * Single trials on one dump that would show which candidate is the option. Places that move together are one candidate
 * in dumps, but several trials. `name` is what the equipment is called; `words` are the two values of the option.
 */
export function planTrials(search: OptionSearch, dump: Dump, equipment: Equipment): TrialPlan {
  return finish(planTrialsInSteps(search, dump, equipment));
}

/** What a trial is about: how the equipment is called, and the two values of the option in words. */
export interface Equipment {
  readonly name: string;
  readonly words: readonly string[];
}

/** The same in steps. */
export function* planTrialsInSteps(search: OptionSearch, dump: Dump, { name, words }: Equipment): Steps<TrialPlan> {
  const candidates = search.candidates.slice(0, MOST_CANDIDATES);
  const labelled = search.matrix.dumps.filter(({ group }) => group !== undefined).length;
  const weights = candidates.length === 0 ? [] : posterior(candidates, labelled, search.groups.length);
  // It may be none of them; the best q is what is left of that doubt.
  const doubt = Math.min(0.5, candidates[0]?.q ?? 0.5);
  const best = Math.max(0, ...weights);
  const prepared: (Weighed & Prepared)[] = [];
  for (const [i, candidate] of candidates.entries()) {
    const share = weights[i] as number;
    // Once all that is likelier has shown nothing, this one has at most the share of what is left.
    if (share < best * MISTAKEN * LEAST_CHANCE) continue;
    const alike = [candidate, ...alikeCandidates(search, candidate)];
    const weight = (share * (1 - doubt)) / alike.length;
    for (const one of alike) prepared.push({ weight, ...(yield* prepare(one, dump, name, words)) });
  }
  const possible = prepared.flatMap(({ tried, weight, change }) =>
    change.ok ? { tried, weight, ...change.value } : [],
  );
  const risky = possible.filter(({ cautions }) => cautions.length > 0);
  const order = [...byGain(possible.filter((one) => !risky.includes(one))), ...byGain(risky)].slice(0, MOST_TRIALS);
  return {
    isImage: dump.layout.kind === 'image',
    trials: withFigures(order, prepared).filter(({ chance }) => chance >= LEAST_CHANCE),
    leftOut: prepared.flatMap(({ tried, change }) => (change.ok ? [] : { tried, why: change.why })),
  };
}

interface Weighed {
  readonly weight: number;
  readonly tried: Tried;
}

/** With one place a trial, and each as sure to show it, what tells most is the likeliest of those that are left. */
function byGain<T extends Weighed>(trials: readonly T[]): readonly T[] {
  return [...trials].sort((a, b) => b.weight - a.weight);
}

function withFigures(
  order: readonly (Weighed & Omit<Trial, 'gain' | 'chance'>)[],
  all: readonly Weighed[],
): readonly Trial[] {
  const left = new Map(all.map(({ tried, weight }) => [tried, weight]));
  const none = 1 - all.reduce((sum, { weight }) => sum + weight, 0);
  return order.map(({ weight: _, ...trial }) => {
    const weight = left.get(trial.tried) ?? 0;
    const sum = none + [...left.values()].reduce((all, one) => all + one, 0);
    const chance = weight / sum;
    const gain = expectedGain(
      [chance, 1 - chance],
      [
        [1 - MISTAKEN, MISTAKEN],
        [MISTAKEN, 1 - MISTAKEN],
      ],
    );
    left.set(trial.tried, weight * MISTAKEN);
    return { ...trial, gain, chance };
  });
}

interface Prepared {
  readonly tried: Tried;
  readonly change: Result<Pick<Trial, 'before' | 'after' | 'cautions'>>;
}

function* prepare(candidate: OptionCandidate, dump: Dump, name: string, words: readonly string[]): Steps<Prepared> {
  const { place } = candidate;
  const { option, raw } = triedOption(candidate, dump, name, words);
  const before = bind(dump.rows, dump.notation, { ...dump.profile, options: [...dump.profile.options, option] });
  const reading = readOption(before, option);
  const now = reading?.raw;
  const tried = { place, from: now === undefined ? undefined : Number(now), to: Number(raw) };
  if (reading === undefined || now === undefined)
    return { tried, change: refuse(phrase('this dump lacks the line, or it cannot be read')) };
  if (now === raw) return { tried, change: refuse(phrase('this dump holds that value already')) };
  // Every trial says that all sums are right, so nothing may be left of them.
  const [left] = sumsLeft({ dump, profile: { kind: 'read' } }).left;
  if (left !== undefined) return { tried, change: refuse(phrase('correct this first: {0}', left)) };
  const forbidden = whyForbidden(dump, option);
  if (forbidden !== undefined) return { tried, change: refuse(forbidden) };
  const repair = yield* writesFor(before, [{ option, raw }], { totals: 'keep' });
  if (!repair.ok) return { tried, change: repair };
  // The sheet is a proposal on paper: it may start from a sealed backup, and says itself what to make sure of.
  const changed = changeDump(before, repair.value, { elsewhere: true, unconfirmed: true });
  if (!changed.ok) return { tried, change: changed };
  const lost = unlikeWished(changed.value.after, [{ option, raw }]);
  if (lost !== undefined) return { tried, change: lost };
  return {
    tried,
    change: done({ before, after: changed.value.after, cautions: cautionsAt(dump, reading.cells, option) }),
  };
}

/** The place as an option of the values that mark each group, and the one that a trial sets. */
function triedOption(
  { values, place }: OptionCandidate,
  { layout }: Dump,
  name: string,
  names: readonly string[],
): { readonly option: Option; readonly raw: bigint } {
  const words = new Map(values.flatMap((list, group) => list.map((value) => [value, names[group] ?? ''] as const)));
  const where: Place =
    layout.kind === 'image'
      ? { kind: 'address', address: addressOfColumn(place), count: place.count }
      : { kind: 'line', line: place.line, byte: place.byte, count: place.count };
  const option: Option = {
    id: 'trial',
    title: name,
    group: undefined,
    parts: [{ place: where, bits: place.count === 1 ? place.bits : undefined }],
    order: 'big',
    reversed: false,
    swapped: false,
    special: new Map(),
    meaning: { kind: 'values', words },
    needs: [],
    excludes: [],
    hazards: [],
    confidence: undefined,
    evidence: undefined,
    source: { start: 0, end: 0 },
  };
  return { option, raw: BigInt(values[0]?.[0] ?? 0) };
}

/** Why no trial may touch a place. */
function whyForbidden({ profile }: Dump, tried: Option): Phrase | undefined {
  const locked = profile.locked.find((region) => liesIn(tried, region.place));
  if (locked !== undefined) return phrase('its byte is locked ({0})', locked.why || NO_REASON);
  if (profile.balance.some((balance) => liesIn(tried, balance.place)))
    return phrase('the profile uses this byte to balance the file sum');
  const known = profile.options.find((option) => option.hazards.length > 0 && shareBits(option, tried));
  return known === undefined
    ? undefined
    : phrase(
        'the profile says that this is "{0}", which affects {1}',
        known.title,
        listed(known.hazards.map(hazardInWords)),
      );
}

/** What lies near enough to be hit by a slip: in the same byte, or the same line. */
function cautionsAt({ layout, profile }: Dump, cells: readonly Cell[], option: Option): readonly Phrase[] {
  const rows = new Set(cells.map(({ row }) => row));
  const isNear = (place: Place) => presentCells(layout, place).some(({ row }) => rows.has(row));
  return [
    ...profile.locked.flatMap(({ place, why }) =>
      isNear(place)
        ? phrase('The same line holds locked bytes ({0}). They must stay as they are.', why || NO_REASON)
        : [],
    ),
    ...profile.options.flatMap(({ parts, title, hazards }) => {
      const says = caution(hazards);
      if (says === undefined || !parts.some(({ place }) => isNear(place))) return [];
      return parts.some(({ place }) => liesIn(option, place))
        ? phrase('Other bits of the same byte are "{0}". {1}', title, says)
        : phrase('The same line holds "{0}". {1}', title, says);
    }),
    ...profile.options.flatMap((known) => (shareBits(known, option) ? (doubtOf(known) ?? []) : [])),
  ];
}
