import { hexBytes } from '../base/hex.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { finish, type Steps } from '../base/steps.js';
import { isBetween, numbersOf } from '../format/label.js';
import { isImage } from '../format/notationOf.js';
import type { Label } from '../format/row.js';
import { readRows } from '../format/rows.js';
import { bind } from '../model/dump.js';
import { EMPTY_PROFILE } from '../profile/readProfile.js';
import type { CountedLine } from './draftLines.js';
import { DRAFT_TITLE, type DraftProfile, draftProfile, type PlacedTotal } from './draftProfile.js';
import { byShape, type LineOfText, linesOf, oddLines, type RecordsOfText, recordsOf } from './learnForm/dumps.js';
import { type LearnedForm, learnForms } from './learnForm/form.js';
import { type LineToLearn, withSumAtEnd } from './learnSums/line.js';
import { type LineRule, storedBy } from './learnSums/lineRule.js';
import { type Effort, lineSumSteps, SURE } from './learnSums/lineSums.js';
import { type DumpToLearn, type TotalRule, totalSteps } from './learnSums/totals.js';
import { othersSaid, otherTotals, passedSaid, said, unreadSaid } from './remarks.js';

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
  /** Lines that look like those of the dump and cannot be read, as rows of their files from 1. */
  readonly unread: readonly { readonly name: string; readonly row: number }[];
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
  const forms: FormsOfText[] = [];
  for (const { name, text } of texts) {
    yield;
    forms.push({ name, text, forms: learnForms(text) });
  }
  const first = forms.find(({ forms: some }) => some.length > 0)?.forms ?? [];
  if (first.length === 0) {
    return {
      candidates: [],
      remarks: [
        phrase('No lines of a dump were found: lines with a number that counts up and pairs of hex digits are wanted.'),
      ],
    };
  }
  // A text may be read in several ways; the right one is that in which the sums come out.
  const ways = first.length === 1 ? [] : first;
  const found: WayLearned[] = [];
  for (const form of ways) {
    const learned = yield* learnIn(form, forms, about, 'common');
    if (isSettled(learned)) return learned.learning;
    found.push(learned);
  }
  const [best] = found.sort((a, b) => a.chance - b.chance);
  const form = best === undefined || best.chance > SURE ? first[0] : best.form;
  return form === undefined ? NOTHING : (yield* learnIn(form, forms, about, 'all')).learning;
}

const NOTHING: Learning = { candidates: [], remarks: [] };

/** What was learned of texts read in one way. */
interface WayLearned {
  readonly form: LearnedForm;
  readonly learning: Learning;
  /** The probability that a wrong rule for lines fits as well by accident; 1 where there is none. */
  readonly chance: number;
  /** Which part of the lines follows it. */
  readonly share: number;
}

interface FormsOfText extends TextToLearn {
  readonly forms: readonly LearnedForm[];
}

/** What is learned of the texts that may be written in a form. */
function* learnIn(
  form: LearnedForm,
  texts: readonly FormsOfText[],
  about: string | undefined,
  effort: Effort,
): Steps<WayLearned> {
  const alike = texts.filter(({ forms }) => forms.some((other) => sameForm(form, other)));
  const strange = texts.filter((one) => !alike.includes(one)).map(({ name }) => name);
  const remarks =
    strange.length === 0 ? [] : [phrase('Written in another way, and left out: {0}.', strange.join(', '))];
  const { learning, rule } = isImage(form.notation)
    ? { learning: learnImage(form, alike), rule: undefined }
    : yield* learnLines(form, alike, about, effort);
  return {
    form,
    learning: { candidates: learning.candidates, remarks: [...remarks, ...learning.remarks] },
    chance: rule?.chance ?? 1,
    share: rule === undefined ? 0 : 1 - rule.wrong.length / rule.lines,
  };
}

/** Whether nearly all lines follow a rule that is sure. */
function isSettled({ chance, share }: WayLearned): boolean {
  return chance <= SURE && share >= 0.8;
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
        unread: dumps.flatMap(({ rows }, i) =>
          rows.flatMap((row, at) => (row.kind === 'broken' ? { name: texts[i]?.name ?? '', row: at + 1 } : [])),
        ),
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

function* learnLines(
  form: LearnedForm,
  texts: readonly TextToLearn[],
  about: string | undefined,
  effort: Effort,
): Steps<{ readonly learning: Learning; readonly rule: LineRule | undefined }> {
  const all: RecordsOfText[] = [];
  for (const { name, text } of texts) {
    yield;
    all.push(recordsOf(name, readRows(text, form.notation)));
  }
  const groups = byShape(all);
  const group = groups.find(({ dumps: named }) => named.some(({ name }) => name === about)) ?? groups[0];
  const others = groups.filter((other) => other !== group);
  const given = group?.dumps ?? [];
  const modules = new Set(given.map(({ module }) => module));
  const module = modules.size === 1 ? given[0]?.module : undefined;
  const odd = oddLines(given);
  const search = yield* lineSumSteps(linesOf(given.map((dump) => without(dump, odd))), module, effort);
  const [best] = search.rules;
  const lost = lostLines(odd, best, given);
  const dumps = given.map((dump) => withUnread(dump, lost));
  const remarks = [
    ...othersSaid(
      others.flatMap(({ dumps: names }) => names),
      dumps.length,
    ),
    ...said(search, linesOf(dumps), dumps),
  ];
  const rules = search.rules.length > 0 ? search.rules : [undefined];
  const candidates: LearnCandidate[] = [];
  const placed = new Set<string>();
  for (const [rank, rule] of rules.slice(0, MOST_CANDIDATES).entries()) {
    // A sum in front of the line is at the end of a record where the pattern says so.
    if (rule?.front && form.pattern?.includes('{sum')) continue;
    // A dump with a damaged line cannot have a right total.
    const torn = new Set((rule?.wrong ?? []).map(({ dump }) => dump));
    const totals = yield* totalsOf(wholeDumps(dumps, torn), rule);
    // Other rules for lines come with the best total; other totals come with the best rule for lines.
    const others = rank === 0 ? totals.slice(1).filter(isRival(totals[0])).slice(0, 2) : [];
    const open = search.undecided.some((rival) => rival.rule === rule);
    if (others.length > 0) remarks.push(otherTotals(others.length));
    for (const [i, total] of [totals[0], ...others].entries()) {
      if (total?.pattern !== undefined) placed.add(total.pattern);
      candidates.push(candidate(form, dumps, { rule, damaged: search.damaged }, total, module, open || i > 0));
    }
  }
  const left = dumps.map((dump) => withoutTotals(dump, placed));
  const unread = left.flatMap((dump) => dump.unread.map((row) => ({ name: dump.name, row: row + 1 })));
  const learning = {
    candidates: candidates.filter(({ chance }) => chance < 1).map((one) => ({ ...one, unread })),
    remarks: [...remarks, ...left.flatMap(unreadSaid), ...left.flatMap(passedSaid)],
  };
  return { learning, rule: best };
}

/** A dump without some of its lines. */
function without(dump: RecordsOfText, odd: ReadonlySet<LineOfText>): RecordsOfText {
  return odd.size === 0 ? dump : { ...dump, lines: dump.lines.filter((line) => !odd.has(line)) };
}

/** A dump whose lines of a wrong length are among those that cannot be read. */
function withUnread(dump: RecordsOfText, unread: ReadonlySet<LineOfText>): RecordsOfText {
  const lost = dump.lines.filter((line) => unread.has(line));
  return {
    ...without(dump, unread),
    torn: [...dump.torn, ...lost.map(({ label }) => label)],
    unread: [...dump.unread, ...lost.map(({ row }) => row)].sort((a, b) => a - b),
  };
}

/** A dump in which the lines of totals that were found are no longer among those that were not read. */
function withoutTotals(dump: RecordsOfText, patterns: ReadonlySet<string>): RecordsOfText {
  const rows = new Set(dump.possible.filter(({ pattern }) => patterns.has(pattern)).map(({ row }) => row));
  const isOther = (row: number) => !rows.has(row);
  return { ...dump, unread: dump.unread.filter(isOther), passed: dump.passed.filter(isOther) };
}

/** The dumps all of whose lines were read and are right; all of them where there is none. */
function wholeDumps(dumps: readonly RecordsOfText[], damaged: ReadonlySet<number>): readonly RecordsOfText[] {
  const most = dumps.reduce((count, { lines }) => Math.max(count, lines.length), 0);
  const whole = dumps.filter(({ lines }, dump) => lines.length === most && !damaged.has(dump));
  return whole.length > 0 ? whole : dumps.filter(({ lines }) => lines.length === most);
}

/**
 * Lines of a rare length that are damaged. One is a line all the same where its own sum says so; but a sum that adds up
 * does not tell that a zero is missing, and then another line of this length, or its place in front of all, must speak for it.
 */
function lostLines(
  odd: ReadonlySet<LineOfText>,
  rule: LineRule | undefined,
  dumps: readonly RecordsOfText[],
): ReadonlySet<LineOfText> {
  if (rule === undefined) return odd;
  const right = [...odd].filter((line) => isExplained(rule, line));
  const first = new Set(dumps.map(({ lines }) => lines[0]));
  const goesByPlace = rule.width > 1 && ['crc', 'fletcher', 'adler'].includes(rule.spec.method);
  const isOne = (line: LineOfText) =>
    goesByPlace ||
    first.has(line) ||
    right.filter(({ bytes, label }) => bytes.length === line.bytes.length && label !== line.label).length > 0;
  const sound = new Set(right.filter(isOne));
  return new Set([...odd].filter((line) => !sound.has(line)));
}

function isExplained(rule: LineRule, { label, bytes }: LineOfText): boolean {
  if (bytes.length <= rule.width) return false;
  const turned = rule.front ? withSumAtEnd(bytes, rule.width) : bytes;
  const count = turned.length - rule.width;
  return hexBytes(storedBy(rule, label, turned.subarray(0, count))) === hexBytes(turned.subarray(count));
}

/** A total among the lines that no word calls a sum is named only where it is surer than this. */
const SURE_WITHOUT_NAME = 1e-4;

/** Totals in records or lines, or else in a line that is written unlike the others. */
function* totalsOf(dumps: readonly RecordsOfText[], rule: LineRule | undefined): Steps<readonly FoundTotal[]> {
  const summed = dumps.map((dump) => withSums(dump, rule));
  const found = yield* totalSteps(summed);
  if (found.length > 0) return found.map((total) => ({ ...total, pattern: undefined }));
  const [first, ...others] = dumps;
  const common = (first?.possible ?? []).filter(
    ({ pattern, bytes }, i, all) =>
      all.findIndex((one) => one.pattern === pattern) === i &&
      others.every(({ possible }) =>
        possible.some((one) => one.pattern === pattern && one.bytes.length === bytes.length),
      ),
  );
  const labels = common.map((_, i) => (i === 0 ? 'total' : `total ${i + 1}`));
  const possible = dumps.map(
    ({ possible: lines }, dump): DumpToLearn => ({
      ...(summed[dump] as DumpToLearn),
      others: common.map(({ pattern }, i) => ({
        label: labels[i] as string,
        bytes: lines.find((line) => line.pattern === pattern)?.bytes ?? new Uint8Array(0),
      })),
    }),
  );
  if (common.length === 0) return [];
  const totals = yield* totalSteps(possible);
  return totals.flatMap((total) => {
    const line = total.place.kind === 'record' ? common[labels.indexOf(String(total.place.label))] : undefined;
    if (line === undefined || (!line.isLikely && total.chance > SURE_WITHOUT_NAME)) return [];
    return { ...total, pattern: line.pattern };
  });
}

interface FoundTotal extends TotalRule {
  /** How its line is written, where that is unlike the others. */
  readonly pattern: string | undefined;
}

function isRival(best: TotalRule | undefined): (total: TotalRule) => boolean {
  return (total) => best !== undefined && total.wrong.length <= best.wrong.length && total.chance <= best.chance * 1e6;
}

function withSums({ name, lines, others }: RecordsOfText, rule: LineRule | undefined): DumpToLearn {
  const width = rule?.width ?? 0;
  return {
    name,
    others,
    lines: lines.map(({ label, bytes }) => {
      const turned = rule?.front ? withSumAtEnd(bytes, width) : bytes;
      const count = turned.length - width;
      return { label, data: turned.subarray(0, count), sum: turned.subarray(count) };
    }),
  };
}

function candidate(
  form: LearnedForm,
  dumps: readonly RecordsOfText[],
  { rule, damaged: unexplained }: { readonly rule: LineRule | undefined; readonly damaged: readonly LineToLearn[] },
  total: FoundTotal | undefined,
  module: number | undefined,
  undecided: boolean,
): LearnCandidate {
  const damaged = unexplained.map(({ dump, label }) => ({ name: dumps[dump]?.name ?? '', label }));
  const lines = dumps.reduce((sum, dump) => sum + dump.lines.length, 0);
  const chance = rule === undefined && total === undefined ? 1 : (rule?.chance ?? 0) + (total?.chance ?? 0);
  const placed: PlacedTotal | undefined = total && { rule: total, pattern: total.pattern };
  return {
    profile: draftProfile(form, countedLines(dumps, rule?.width ?? 0), rule, placed, module),
    lines: rule?.lines ?? lines,
    linesExplained: rule === undefined ? 0 : rule.lines - rule.wrong.length,
    totalExplained: total === undefined ? undefined : total.wrong.length === 0,
    chance: Math.min(1, chance),
    damaged,
    unread: [],
    undecided,
  };
}

/** All lines of some dumps, with those that cannot be read where their labels are among the others. */
function countedLines(dumps: readonly RecordsOfText[], width: number): readonly CountedLine[] {
  const counts = new Map<Label, number | undefined>();
  for (const { lines } of dumps)
    for (const { label, bytes } of lines) if (!counts.has(label)) counts.set(label, bytes.length - width);
  const labels = [...counts.keys()];
  const [some] = labels;
  const numbers = some === undefined ? 0 : numbersOf(some)?.length;
  for (const { torn, lines } of dumps) {
    const [from, to] = [lines[0]?.label, lines.at(-1)?.label];
    if (from === undefined || to === undefined) continue;
    const isNear = (label: Label) =>
      isBetween(label, { from, to }) || (typeof label === 'number' && typeof to === 'number' && isNext(label, lines));
    for (const label of torn)
      if (numbersOf(label)?.length === numbers && isNear(label) && !counts.has(label)) counts.set(label, undefined);
  }
  return [...counts];
}

/** Whether a number is the one before the first line or behind the last one. */
function isNext(label: number, lines: RecordsOfText['lines']): boolean {
  const [first, second] = [Number(lines[0]?.label), Number(lines[1]?.label)];
  const last = Number(lines.at(-1)?.label);
  return label === first - (second - first) || label === last + (second - first);
}
