import { hex } from '../base/hex.js';
import { sumAsJson } from '../checksum/sumAsJson.js';
import { type CountedLine, draftLines } from './draftLines.js';
import type { LearnedForm } from './learnForm/form.js';
import { isOfLabel } from './learnSums/line.js';
import type { LineRule } from './learnSums/lineRule.js';
import type { TotalRule } from './learnSums/totals.js';

/** A profile as JSON: it reads back through `readProfile` without a problem. */
export interface DraftProfile {
  readonly format: 1;
  readonly title: string;
  readonly note?: string;
  readonly module?: string;
  readonly notation?: string | { readonly pattern: string; readonly headings?: readonly string[] };
  readonly lines?: object;
  readonly addresses?: { readonly from: string; readonly to: string };
  readonly lineSum?: object;
  readonly totals?: readonly object[];
  readonly copies?: readonly object[];
  readonly options?: readonly object[];
}

export const DRAFT_TITLE = 'Draft, learned from dumps';

/** A draft of a module that has a name: where it is from is noted. */
export function namedDraft({ format, title: _, ...rest }: DraftProfile, title: string): DraftProfile {
  return { format, title, note: DRAFT_TITLE, ...rest };
}

/** The draft as the text of a file. */
export function draftText(draft: DraftProfile): string {
  return `${JSON.stringify(draft, null, 2)}\n`;
}

/** A total, and how its line is written where that is unlike the others. */
export interface PlacedTotal {
  readonly rule: TotalRule;
  readonly pattern: string | undefined;
}

/** The draft for a dump in lines; a rule that is not sure, or beside which others fit, is a guess. */
export function draftProfile(
  { pattern, headings }: LearnedForm,
  lines: readonly CountedLine[],
  rule: LineRule | undefined,
  total: PlacedTotal | undefined,
  module: number | undefined,
  isGuess: boolean,
): DraftProfile {
  // With a number that nobody knows a rule was found for zero; its constants make up for it.
  const covered = rule?.module ?? module ?? (rule?.coverage.over.includes('module') ? 0 : undefined);
  const heads = headings.length === 0 ? {} : { headings };
  return {
    format: 1,
    title: DRAFT_TITLE,
    ...(covered === undefined ? {} : { module: `0x${hex(covered, 4)}` }),
    ...(pattern === undefined ? {} : { notation: { pattern, ...heads } }),
    lines: draftLines(lines, rule?.width ?? 0),
    ...(rule === undefined ? {} : { lineSum: { ...draftLineSum(rule), ...(isGuess ? { confidence: 'guess' } : {}) } }),
    ...(total === undefined ? {} : { totals: [draftTotal(total)] }),
  };
}

function draftLineSum({ spec, order, coverage, front }: LineRule): object {
  const { over, labelBytes, spare } = coverage;
  const isPart = spare.first + spare.last > 0;
  return {
    ...sumAsJson(spec, order),
    over,
    ...(over.some(isOfLabel) && labelBytes > 1 ? { labelBytes } : {}),
    ...(isPart ? { data: `${spare.first + 1}-end${spare.last === 0 ? '' : `-${spare.last}`}` } : {}),
    ...(front ? { sumAt: 'front' } : {}),
  };
}

function draftTotal({ rule: { spec, order, place, covers, kept, isConfirmed, unseen }, pattern }: PlacedTotal): object {
  const { range, sums } = covers;
  const isOfSeveral = typeof range?.from === 'string';
  return {
    name: 'file sum',
    ...(place.kind === 'record' ? { label: place.label } : { line: place.line, byte: place.byte }),
    ...(pattern === undefined ? {} : { pattern }),
    ...sumAsJson(spec, order),
    over: sums ? ['data', 'sums'] : ['data'],
    ...(range === undefined ? {} : { lines: `${range.from}${isOfSeveral ? '..' : '-'}${range.to}` }),
    ...(kept ? { keep: true } : {}),
    ...(isConfirmed && unseen.length === 0 ? {} : { confidence: 'guess' }),
  };
}
