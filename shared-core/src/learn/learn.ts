import { hexBytes } from '../base/hex.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { finish, type Steps } from '../base/steps.js';
import { isImage } from '../format/notationOf.js';
import type { Label } from '../format/row.js';
import { readRows } from '../format/rows.js';
import { bind } from '../model/dump.js';
import { EMPTY_PROFILE } from '../profile/readProfile.js';
import { DRAFT_TITLE, type DraftProfile, draftProfile } from './draftProfile.js';
import { byShape, linesOf, type RecordsOfText, recordsOf } from './learnForm/dumps.js';
import { type LearnedForm, learnForm } from './learnForm/form.js';
import { isCopy } from './learnSums/evidence.js';
import type { LineToLearn } from './learnSums/line.js';
import type { LineRule } from './learnSums/lineRule.js';
import { type LineSumSearch, lineSumSteps, SURE } from './learnSums/lineSums.js';
import { type DumpToLearn, type TotalRule, totalSteps } from './learnSums/totals.js';

export interface TextToLearn {
  readonly name: string;
  readonly text: string;
}

/** A profile that may explain the dumps, with what speaks for it. */
export interface LearnCandidate {
  readonly profile: DraftProfile;
  readonly linesExplained: number;
  readonly lines: number;
  /** Undefined where no total was found. */
  readonly totalExplained: boolean | undefined;
  /** Upper bound of the probability that wrong rules fit as well by accident; of rules that are undecided one fits. */
  readonly chance: number;
  /** Lines whose sum does not follow the rule, where the others make it sure: most likely damaged. */
  readonly damaged: readonly { readonly name: string; readonly label: Label }[];
  /** These dumps cannot tell it from the best one. */
  readonly undecided: boolean;
}

export interface Learning {
  /** Best first. */
  readonly candidates: readonly LearnCandidate[];
  /** What the user should know: mixed shapes, rules that cannot be told apart, nothing found. */
  readonly remarks: readonly Phrase[];
}

/** More candidates than these are of no use to anybody. */
const MOST_CANDIDATES = 8;

/**
 * Works out from one or several dumps of the same kind how they are written, how many bytes of a line are data and sum,
 * and by which rules lines and file are summed. Never fails: what stands in the way of an answer is said in the remarks.
 */
export function learn(texts: readonly TextToLearn[]): Learning {
  return finish(learnSteps(texts));
}

/** `about` names the text that the answer must be of, where they are of different shapes; by default most texts of one shape are taken. */
export function* learnSteps(texts: readonly TextToLearn[], about?: string): Steps<Learning> {
  const forms: FormOfText[] = [];
  for (const { name, text } of texts) {
    yield;
    forms.push({ name, text, form: learnForm(text) });
  }
  const first = forms.find(({ form }) => form !== undefined)?.form;
  if (first === undefined) {
    return {
      candidates: [],
      remarks: [
        phrase('No lines of a dump were found: lines with a number that counts up and pairs of hex digits are wanted.'),
      ],
    };
  }
  const alike = forms.filter(({ form }) => form !== undefined && sameForm(form, first));
  const strange = forms.filter((one) => !alike.includes(one)).map(({ name }) => name);
  const remarks =
    strange.length === 0 ? [] : [phrase('Written in another way, and left out: {0}.', strange.join(', '))];
  const learning = isImage(first.notation) ? learnImage(first, alike) : yield* learnLines(first, alike, about);
  return { candidates: learning.candidates, remarks: [...remarks, ...learning.remarks] };
}

interface FormOfText extends TextToLearn {
  readonly form: LearnedForm | undefined;
}

function sameForm(a: LearnedForm, b: LearnedForm): boolean {
  return a.notation.id === b.notation.id && a.pattern === b.pattern;
}

/**
 * A memory image's records are summed as its notation says, which explains no byte of its own: what is learned is the
 * range of its addresses, and nothing is counted as found.
 */
function learnImage(form: LearnedForm, texts: readonly TextToLearn[]): Learning {
  const dumps = texts.map(({ text }) => bind(readRows(text, form.notation), form.notation, EMPTY_PROFILE));
  const starts = dumps.flatMap(({ layout }) => Array.from(layout.keys));
  const ends = dumps.flatMap(({ layout }) =>
    Array.from(layout.order, (row, i) => (layout.keys[i] as number) + (layout.dataCount[row] as number) - 1),
  );
  if (starts.length === 0) return { candidates: [], remarks: [phrase('These files hold no data records.')] };
  const address = (value: number) => `0x${value.toString(16).toUpperCase()}`;
  const range = { from: starts.reduce((a, b) => Math.min(a, b)), to: ends.reduce((a, b) => Math.max(a, b)) };
  const lines = dumps.reduce((sum, { rows }) => sum + rows.filter(({ kind }) => kind === 'record').length, 0);
  const wrong = dumps.flatMap(({ wrongSums, rows }, i) =>
    wrongSums.map((row) => {
      const record = rows[row];
      return { name: texts[i]?.name ?? '', label: record?.kind === 'record' ? record.label : '' };
    }),
  );
  const profile: DraftProfile = {
    format: 1,
    title: DRAFT_TITLE,
    notation: form.notation.id,
    addresses: { from: address(range.from), to: address(range.to) },
  };
  return {
    candidates: [
      {
        profile,
        lines,
        linesExplained: 0,
        totalExplained: undefined,
        chance: 1,
        damaged: wrong,
        undecided: false,
      },
    ],
    remarks: [
      phrase(
        'The sums of the records belong to the written form. Sums over the data were not searched for: add known ones under "totals".',
      ),
    ],
  };
}

function* learnLines(form: LearnedForm, texts: readonly TextToLearn[], about: string | undefined): Steps<Learning> {
  const all: RecordsOfText[] = [];
  for (const { name, text } of texts) {
    yield;
    all.push(recordsOf(name, readRows(text, form.notation)));
  }
  const groups = byShape(all);
  const group = groups.find(({ dumps: named }) => named.some(({ name }) => name === about)) ?? groups[0];
  const others = groups.filter((other) => other !== group);
  const dumps = group?.dumps ?? [];
  const lines = linesOf(dumps);
  const modules = new Set(dumps.map(({ module }) => module));
  const module = modules.size === 1 ? dumps[0]?.module : undefined;
  const search = yield* lineSumSteps(lines, module);
  const remarks = [
    ...othersSaid(
      others.flatMap(({ dumps: names }) => names),
      dumps.length,
    ),
    ...said(search, lines, dumps),
  ];
  const rules = search.rules.length > 0 ? search.rules : [undefined];
  const candidates: LearnCandidate[] = [];
  for (const [rank, rule] of rules.slice(0, MOST_CANDIDATES).entries()) {
    // A dump with a damaged line cannot have a right total.
    const torn = new Set((rule?.wrong ?? []).map(({ dump }) => dump));
    const sound = torn.size < dumps.length ? dumps.filter((_, dump) => !torn.has(dump)) : dumps;
    const totals = yield* totalSteps(sound.map((dump) => withSums(dump, rule?.width ?? 0)));
    // Other rules for lines come with the best total; other totals come with the best rule for lines.
    const tried = rank === 0 ? [totals[0], ...totals.slice(1).filter(isRival(totals[0])).slice(0, 2)] : [totals[0]];
    const open = search.undecided.some((rival) => rival.rule === rule);
    if (tried.length > 1) remarks.push(otherTotals(tried.length - 1));
    for (const [i, total] of tried.entries())
      candidates.push(candidate(form, dumps, { rule, damaged: search.damaged }, total, module, open || i > 0));
  }
  return { candidates: candidates.filter(({ chance }) => chance < 1), remarks };
}

function isRival(best: TotalRule | undefined): (total: TotalRule) => boolean {
  return (total) => best !== undefined && total.wrong.length <= best.wrong.length && total.chance <= best.chance * 1e6;
}

function withSums({ name, lines, others }: RecordsOfText, width: number): DumpToLearn {
  return {
    name,
    others,
    lines: lines.map(({ label, bytes }) => ({
      label,
      data: bytes.subarray(0, bytes.length - width),
      sum: bytes.subarray(bytes.length - width),
    })),
  };
}

function candidate(
  form: LearnedForm,
  dumps: readonly RecordsOfText[],
  { rule, damaged: unexplained }: { readonly rule: LineRule | undefined; readonly damaged: readonly LineToLearn[] },
  total: TotalRule | undefined,
  module: number | undefined,
  undecided: boolean,
): LearnCandidate {
  const [first] = dumps as readonly [RecordsOfText, ...RecordsOfText[]];
  const damaged = unexplained.map(({ dump, label }) => ({ name: dumps[dump]?.name ?? '', label }));
  const lines = rule?.lines ?? first.lines.length * dumps.length;
  const chance = rule === undefined && total === undefined ? 1 : (rule?.chance ?? 0) + (total?.chance ?? 0);
  return {
    profile: draftProfile(form, first, rule, total, module),
    lines,
    linesExplained: rule === undefined ? 0 : lines - rule.wrong.length,
    totalExplained: total === undefined ? undefined : total.wrong.length === 0,
    chance: Math.min(1, chance),
    damaged,
    undecided,
  };
}

function othersSaid(others: readonly RecordsOfText[], compared: number): Phrase[] {
  if (others.length === 0) return [];
  const shown = others.slice(0, 5).map(({ name }) => name);
  const names = others.length > 5 ? `${shown.join(', ')} …` : shown.join(', ');
  return [
    others.length === 1
      ? phrase('1 dump has other lines than the {0} that were learned from, and was left out: {1}.', compared, names)
      : phrase(
          '{0} dumps have other lines than the {1} that were learned from, and were left out: {2}.',
          others.length,
          compared,
          names,
        ),
  ];
}

function otherTotals(count: number): Phrase {
  return count === 1
    ? phrase('1 other rule for the file sum fits as well. Dumps of other cars may tell them apart.')
    : phrase('{0} other rules for the file sum fit as well. Dumps of other cars may tell them apart.', count);
}

/** What the search for the line sums has left open. */
function said(search: LineSumSearch, lines: readonly LineToLearn[], dumps: readonly RecordsOfText[]): Phrase[] {
  const { rules, undecided, damaged, nearest } = search;
  const [best] = rules;
  if (best === undefined) return [nothingFound(nearest, lines.length), ...copySaid(lines)];
  const remarks: Phrase[] = [];
  const [open] = undecided;
  if (open !== undefined) {
    remarks.push(
      undecided.length === 1
        ? phrase('1 other rule fits these lines as well.')
        : phrase('{0} other rules fit these lines as well.', undecided.length),
      open.telling === undefined
        ? phrase('Dumps of other cars may tell them apart.')
        : phrase(
            'A line {0} with the data {1} would tell the first two rules apart: it ends in {2} by the first and in {3} by the second.',
            open.telling.label,
            hexBytes(open.telling.data, ' '),
            hexBytes(open.telling.first, ' '),
            hexBytes(open.telling.second, ' '),
          ),
    );
  }
  if (best.chance > SURE) {
    remarks.push(
      phrase(
        'Only {0} different lines: the probability that a wrong rule fits them by accident is {1}. Dumps with other data make it sure.',
        best.distinct,
        Number(best.chance.toPrecision(2)),
      ),
    );
  }
  return [...remarks, ...wrongSaid(best, damaged, dumps)];
}

function wrongSaid(
  { wrong, lines }: LineRule,
  damaged: readonly LineToLearn[],
  dumps: readonly RecordsOfText[],
): Phrase[] {
  const [first] = damaged.length > 0 ? damaged : wrong;
  if (first === undefined) return [];
  const name = dumps[first.dump]?.name ?? '';
  if (damaged.length === 0)
    return [
      phrase(
        'Line {0} of {1} does not follow the rule ({2} of {3} lines do not). These dumps do not say whether the line is damaged or the rule is wrong.',
        first.label,
        name,
        wrong.length,
        lines,
      ),
    ];
  return [
    damaged.length === 1
      ? phrase(
          '1 of {0} lines does not follow the rule and is probably damaged: line {1} of {2}.',
          lines,
          first.label,
          name,
        )
      : phrase(
          '{0} of {1} lines do not follow the rule and are probably damaged, first line {2} of {3}.',
          damaged.length,
          lines,
          first.label,
          name,
        ),
  ];
}

/** Says that the last byte of all lines is another one again, which any sum over such lines would give. */
function copySaid(lines: readonly LineToLearn[]): Phrase[] {
  const length = lines[0]?.bytes.length ?? 0;
  if (lines.length < 3 || lines.some(({ bytes }) => bytes.length !== length)) return [];
  const column = (byte: number) => Uint8Array.from(lines, ({ bytes }) => bytes[byte] as number);
  const last = column(length - 1);
  if (last.every((byte) => byte === last[0])) return [];
  for (let byte = length - 2; byte >= 0; byte--) {
    const other = column(byte);
    if (isCopy(last, other))
      return [
        last[0] === other[0]
          ? phrase('The last byte of each line repeats byte {0}: that is no proof of a sum.', byte + 1)
          : phrase('The last byte of each line is the complement of byte {0}: that is no proof of a sum.', byte + 1),
      ];
  }
  return [];
}

function nothingFound(nearest: LineRule | undefined, lines: number): Phrase {
  if (lines < 2) return phrase('One line alone teaches nothing. Give a whole dump, or several.');
  return nearest === undefined
    ? phrase('No rule was found by which these lines are summed. They may have no sum of their own, or be all alike.')
    : phrase(
        'No rule was found by which these lines are summed. The nearest explains {0} of {1} lines, as wrong rules do too.',
        nearest.lines - nearest.wrong.length,
        nearest.lines,
      );
}
