import type { Row } from '../../shared-core/src/format/index.js';
import { type Dump, type MemoryRegion, regionsOf } from '../../shared-core/src/model/index.js';

/** Rows of a dump that stand together, both included. */
export interface Section {
  readonly kind: 'headers' | 'comment' | 'records';
  readonly first: number;
  readonly last: number;
}

/** The rows of a dump in runs of one kind: headers, comments, records. A blank line ends a run, and so does a gap in the addresses of an image. */
export function sectionsOf({ rows, layout }: Pick<Dump, 'rows' | 'layout'>): readonly Section[] {
  const begins = new Set(regionsOf(layout).map(({ firstRow }) => firstRow));
  const sections: { kind: Section['kind']; first: number; last: number }[] = [];
  for (let row = 0; row < rows.length; row++) {
    const kind = kindOfRow(rows[row] as Row);
    const before = sections.at(-1);
    if (kind === undefined) continue;
    if (before?.kind === kind && before.last === row - 1 && !begins.has(row)) before.last = row;
    else sections.push({ kind, first: row, last: row });
  }
  return sections;
}

const KINDS = {
  header: 'headers',
  comment: 'comment',
  record: 'records',
  broken: 'records',
  blank: undefined,
} as const;

function kindOfRow({ kind }: Row): Section['kind'] | undefined {
  return KINDS[kind];
}

/** Regions of an image in runs of neighbours, so that there are never more than `most` of them. */
export function regionsInRuns(layout: Dump['layout'], most: number): readonly (readonly MemoryRegion[])[] {
  const regions = regionsOf(layout);
  const each = Math.ceil(regions.length / most);
  const runs: MemoryRegion[][] = [];
  for (let i = 0; i < regions.length; i += each) runs.push(regions.slice(i, i + each));
  return runs;
}
