import { hex } from '../base/hex.js';
import { sumAsJson } from '../checksum/sumAsJson.js';
import type { LearnedForm } from './learnForm/form.js';
import type { LineRule } from './learnSums/lineRule.js';
import type { TotalRule } from './learnSums/totals.js';

/** A profile as JSON: it reads back through `readProfile` without a problem. */
export interface DraftProfile {
  readonly format: 1;
  readonly title: string;
  readonly module?: string;
  readonly notation?: string | { readonly pattern: string };
  readonly lines?: object;
  readonly addresses?: { readonly from: string; readonly to: string };
  readonly lineSum?: object;
  readonly totals?: readonly object[];
}

export const DRAFT_TITLE = 'Draft, learned from dumps';

/** Lines as a profile describes them, before it is known how many of their bytes are sums. */
export interface LinesOfDraft {
  readonly lines: readonly { readonly label: number; readonly bytes: Uint8Array }[];
}

/** The draft for a dump in lines. */
export function draftProfile(
  form: LearnedForm,
  { lines }: LinesOfDraft,
  rule: LineRule | undefined,
  total: TotalRule | undefined,
  module: number | undefined,
): DraftProfile {
  const covered = rule?.module ?? module;
  return {
    format: 1,
    title: DRAFT_TITLE,
    ...(covered === undefined ? {} : { module: `0x${hex(covered, 4)}` }),
    ...(form.pattern === undefined ? {} : { notation: { pattern: form.pattern } }),
    lines: draftLines(lines, rule?.width ?? 0),
    ...(rule === undefined ? {} : { lineSum: draftLineSum(rule) }),
    ...(total === undefined ? {} : { totals: [draftTotal(total)] }),
  };
}

function draftLines(lines: LinesOfDraft['lines'], sum: number): object {
  const counts = lines.map(({ bytes }) => bytes.length - sum);
  const alike = counts.every((count) => count === counts[0]);
  const data = alike ? counts[0] : Object.fromEntries(lines.map(({ label }, i) => [String(label), counts[i]]));
  return { from: lines[0]?.label, to: lines.at(-1)?.label, data, sum };
}

function draftLineSum({ spec, order, coverage }: LineRule): object {
  const { over, labelBytes } = coverage;
  return { ...sumAsJson(spec, order), over, ...(over.includes('label') && labelBytes > 1 ? { labelBytes } : {}) };
}

function draftTotal({ spec, order, place, covers, kept }: TotalRule): object {
  return {
    name: 'file sum',
    ...(place.kind === 'record' ? { label: place.label } : { line: place.line, byte: place.byte }),
    ...sumAsJson(spec, order),
    over: covers.sums ? ['data', 'sums'] : ['data'],
    ...(covers.range === undefined ? {} : { lines: `${covers.range.from}-${covers.range.to}` }),
    ...(kept ? { keep: true } : {}),
  };
}
