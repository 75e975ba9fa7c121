import { hex, hexBytes } from '../../shared-core/src/base/hex.js';
import { type Beside, bytesIn, KINDS, LINE_SPECS, LINES_OF_A_BLOCK, pick, stored, word } from './familyKinds.js';
import type { Next } from './writtenTexts.js';

/** Dumps of one kind of module, as they come from different cars; each call of `write` gives another one. */
export interface ModuleFamily {
  readonly kind: FamilyKind;
  /** How many dumps a person has of it. */
  readonly dumps: number;
  readonly hasLineSum: boolean;
  readonly hasTotal: boolean;
  /** Whether so many dumps can tell the rules; of the others it is right to say that it is not known. */
  readonly decidable: boolean;
  readonly write: () => string;
}

interface Line {
  readonly label: number;
  readonly data: number[];
  readonly sum: readonly number[];
}

export type FamilyKind = keyof typeof KINDS;
export const FAMILY_KINDS = Object.keys(KINDS) as readonly FamilyKind[];

/** A family of this kind, with all that is not its point by chance. */
export function moduleFamily(kind: FamilyKind, next: Next): ModuleFamily {
  const beside: Beside = KINDS[kind];
  const count = 10 + next(22);
  const width = pick(next, [6, 8, 8, 16]);
  const spec = pick(next, beside.lineSpecs ?? LINE_SPECS);
  const other = (beside.lineSpecs ?? LINE_SPECS).find((one) => one !== spec && bytesIn(one) === bytesIn(spec)) ?? spec;
  const coversLabel = next(2) === 0;
  const totalSpec = beside.total && pick(next, beside.total.specs);
  const [from, to] = beside.total?.part === true ? [2 + next(2), count - 2 - next(2)] : [1, count];
  const hole = beside.total?.hole === true ? 2 + next(count - 6) : 0;
  const base = Array.from({ length: count }, () => lineAsDelivered(width, next));
  const ownPlaces = beside.busy === true ? count * 3 : 6 + next(8);
  const places = Array.from({ length: ownPlaces }, () => [next(count), next(width), next(3)] as const);
  // Where a range ends can be told only by lines that are not the same in all cars.
  if (beside.total?.part === true)
    for (const label of [from - 1, from, to, to + 1]) places.push([label - 1, next(width), 2] as const);
  if (beside.total?.hole === true)
    for (const at of [hole - 1, hole, hole + 1, hole + 2]) places.push([at, next(width), 2] as const);
  const ruleOf = beside.rule?.(next);
  const wrong = new Set<number>();
  while (kind === 'lines of two rules' && wrong.size < Math.ceil(count * 0.35)) wrong.add(next(count));
  const labelOf = (at: number) =>
    beside.labels === undefined ? at + 1 : `${1 + Math.floor(at / LINES_OF_A_BLOCK)}-${at % LINES_OF_A_BLOCK}`;
  const bytesOf = ({ data, sum }: Line) => {
    if (beside.sumAt === 'front') return [...sum, ...data];
    return beside.sumAt === undefined ? [...data, ...sum] : [...data.slice(0, 2), ...sum, ...data.slice(2)];
  };
  let car = 0;
  const write = (): string => {
    car++;
    const lines = base.map((data) => [...data]);
    for (const [line, byte, how] of places)
      (lines[line] as number[])[byte] = pick(next, [next(2), next(16), next(256)].slice(how, how + 1));
    const { tail = [], record } = beside.own?.(car, next) ?? {};
    const last = lines.at(-1) as number[];
    last.splice(width - tail.length, tail.length, ...tail);
    const summed = (data: number[], at: number): Line => {
      if (ruleOf !== undefined) return { label: at + 1, data, sum: ruleOf({ at, data }) };
      const run = [...(coversLabel ? [at + 1] : []), ...data];
      const rule = wrong.has(at) ? other : spec;
      return { label: at + 1, data, sum: beside.lineSum ? stored(rule, run, 'big') : [] };
    };
    let all = lines.map(summed);
    const foot: string[] = record === undefined ? [] : [record];
    if (totalSpec !== undefined && beside.total !== undefined) {
      const { place, sums, order = 'big' } = beside.total;
      const bytes = bytesIn(totalSpec);
      const run = all
        .filter(({ label }) => label >= from && label <= to)
        .filter(({ label }) => beside.total?.hole !== true || label <= hole || label > hole + 2)
        .flatMap(({ data, sum, label }) => [
          ...(place === 'line' && label === count ? data.slice(0, width - bytes) : data),
          ...(sums ? sum : []),
        ]);
      const value = stored(totalSpec, run, order);
      if (place === 'line') {
        last.splice(width - bytes, bytes, ...value);
        all = lines.map(summed);
      } else if (place === 'record') foot.push(word('total', value));
      else foot.push(`Checksum of the file: ${value.map((byte) => hex(byte, 2)).join('')}`);
    }
    const rows = all.map((line) => `${labelOf(line.label - 1)}: ${hexBytes(Uint8Array.from(bytesOf(line)), ' ')}`);
    return `${[...rows, ...foot].join('\n')}\n`;
  };
  return {
    kind,
    dumps: pick(next, beside.dumps),
    hasLineSum: beside.lineSum,
    hasTotal: beside.total !== undefined,
    decidable: beside.undecidable !== true,
    write,
  };
}

/** A line as dumps have them: nothing but FF or 00, or some settings among zeros, or text. */
function lineAsDelivered(width: number, next: Next): number[] {
  const kind = next(10);
  if (kind < 2) return Array.from({ length: width }, () => 0xff);
  if (kind < 3) return Array.from({ length: width }, () => 0);
  if (kind < 4) return Array.from({ length: width }, () => 0x30 + next(10));
  return Array.from({ length: width }, () => [0, 0, 0xff, 0xff, next(256), next(16), 1 << next(8)][next(7)] as number);
}
