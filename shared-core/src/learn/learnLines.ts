import { hexBytes } from '../base/hex.js';
import type { Steps } from '../base/steps.js';
import { isImage } from '../format/notationOf.js';
import type { Label, Row } from '../format/row.js';
import { readRows } from '../format/rows.js';
import { rowsOfData } from '../model/rowsAsLines.js';
import { candidate } from './candidate.js';
import { isRival, totalsOf } from './foundTotals.js';
import { endSetApart } from './learnForm/byteApart.js';
import { byShape, type LineOfText, linesOf, oddLines, type RecordsOfText, recordsOf } from './learnForm/dumps.js';
import type { LearnedForm } from './learnForm/form.js';
import { LIKELY } from './learnImage/searchPlan.js';
import { areAddresses, learnAddresses } from './learnImage.js';
import type { LearnCandidate, Learning, TextToLearn } from './learning.js';
import { withSumAtEnd } from './learnSums/line.js';
import { type LineRule, storedBy } from './learnSums/lineRule.js';
import { type Effort, type LineSumSearch, lineSumSteps, mayHaveRule } from './learnSums/lineSums.js';
import {
  accountSaid,
  besideSaid,
  coverageSaid,
  othersSaid,
  otherTotals,
  passedSaid,
  said,
  totalSaid,
  unreadSaid,
} from './remarks.js';

/** More candidates than these are of no use to anybody. */
const MOST_CANDIDATES = 8;

/** What is learned of texts whose lines have numbers, read in one form; with the best rule for lines. */
export function* learnLines(
  form: LearnedForm,
  texts: readonly TextToLearn[],
  about: string | undefined,
  effort: Effort,
): Steps<{ readonly learning: Learning; readonly rule: LineRule | undefined }> {
  const all: RecordsOfText[] = [];
  const rowsOfTexts: (readonly Row[])[] = [];
  for (const { name, text } of texts) {
    yield;
    const rows = rowsOfData(readRows(text, form.notation), form.notation);
    rowsOfTexts.push(rows);
    all.push(recordsOf(name, rows, form.notation));
  }
  const groups = byShape(all);
  const group = groups.find(({ dumps: named }) => named.some(({ name }) => name === about)) ?? groups[0];
  const others = groups.filter((other) => other !== group);
  const given = group?.dumps ?? [];
  const modules = new Set(given.map(({ module }) => module));
  const module = modules.size === 1 ? given[0]?.module : undefined;
  const odd = oddLines(given);
  // A pattern puts the sum that it sets apart at the end of the record.
  const setApart = form.pattern?.includes('{sum') ?? false;
  const apart = isImage(form.notation) ? undefined : endSetApart(rowsOfTexts, form.notation);
  const lines = linesOf(given.map((dump) => without(dump, odd)));
  // The lines of a memory have no sums most often: where none is common, what its bytes show may be all there is.
  const mayBeMemory = form.pattern === undefined && areAddresses(given);
  const isMemory = mayBeMemory && !(yield* mayHaveRule(lines, module, { effort: 'common', setApart }));
  const early = isMemory ? yield* learnAddresses(given.map((dump) => withUnread(dump, odd))) : undefined;
  const isByAddresses = early?.candidates[0]?.totalExplained === true;
  const left: Effort | undefined = !isMemory ? effort : effort === 'all' && !isByAddresses ? 'rare' : undefined;
  const searched =
    left === undefined ? NO_RULES : yield* lineSumSteps(lines, module, { effort: left, setApart, apart });
  // Lines of a memory are where something puts them, and hardly ever summed: a rule that may be an accident is none.
  const search = mayBeMemory && (searched.rules[0]?.chance ?? 0) > LIKELY ? NO_RULES : searched;
  const [best] = search.rules;
  const lost = lostLines(odd, best, given);
  const dumps = given.map((dump) => withUnread(dump, lost));
  const othersRemarks = othersSaid(
    others.flatMap(({ dumps: names }) => names),
    dumps.length,
  );
  const remarks = [...othersRemarks, ...said(search, linesOf(dumps), dumps)];
  // Lines without a sum of their own may be called by the addresses of their bytes.
  const isBare = best === undefined && form.pattern === undefined;
  const shown = early ?? (isBare ? yield* learnAddresses(dumps) : undefined);
  const hasTotal = isBare && shown?.candidates[0]?.totalExplained === true;
  const rules = hasTotal ? [] : search.rules.length > 0 ? search.rules : [undefined];
  const candidates: LearnCandidate[] = [];
  const placed = new Set<string>();
  let explained: Label | undefined;
  for (const [rank, rule] of rules.slice(0, MOST_CANDIDATES).entries()) {
    // A dump with a damaged line cannot have a right total.
    const torn = new Set((rule?.wrong ?? []).map(({ dump }) => dump));
    const totals = yield* totalsOf(wholeDumps(dumps, torn), rule);
    // Other rules for lines come with the best total; other totals come with the best rule for lines.
    const others = rank === 0 ? totals.slice(1).filter(isRival(totals[0])).slice(0, 2) : [];
    const open = search.undecided.some((rival) => rival.rule === rule);
    if (others.length > 0) remarks.push(otherTotals(others.length));
    if (rank === 0) remarks.push(...coverageSaid(totals[0], others, dumps[0]));
    if (rank === 0 && totals[0]?.place.kind === 'record') explained = totals[0].place.label;
    for (const [i, total] of [totals[0], ...others].entries()) {
      if (total?.pattern !== undefined) placed.add(total.pattern);
      const hasRivals = search.undecided.length > 0;
      candidates.push(
        candidate(
          form,
          dumps,
          { rule, damaged: search.damaged, hasRivals, eitherEnd: rule !== undefined && rank === 0 && search.alsoFront },
          total,
          module,
          open || i > 0,
        ),
      );
    }
  }
  const read = dumps.map((dump) => withoutTotals(dump, placed));
  const rowsOf = (rows: (dump: RecordsOfText) => readonly number[]) =>
    read.flatMap((dump) => rows(dump).map((row) => ({ name: dump.name, row: row + 1 })));
  const unread = rowsOf((dump) => dump.unread);
  const unmarked = rowsOf((dump) => dump.unmarked);
  const likely = candidates.filter(({ chance }) => chance < 1);
  const addressed = isBare && likely.length === 0 ? shown : undefined;
  const learning = {
    candidates: (addressed?.candidates ?? likely).map((one) => ({ ...one, unread, unmarked })),
    ...(addressed === undefined ? {} : { findings: addressed.findings ?? [] }),
    remarks: [
      ...(addressed?.remarks ?? []),
      ...accountSaid(candidates[0], unread.length + unmarked.length),
      ...(addressed === undefined ? remarks : othersRemarks),
      ...(addressed === undefined ? totalSaid(candidates[0]) : []),
      ...read.flatMap(unreadSaid),
      ...read.flatMap(passedSaid),
      ...(addressed === undefined && likely.length > 0 ? read.flatMap((dump) => besideSaid(dump, explained)) : []),
    ],
  };
  return { learning, rule: best };
}

const NO_RULES: LineSumSearch = { rules: [], alsoFront: false, undecided: [], damaged: [], nearest: undefined };

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
  return {
    ...dump,
    unread: dump.unread.filter(isOther),
    passed: dump.passed.filter(isOther),
    unmarked: dump.unmarked.filter(isOther),
  };
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
