import { FOUND, findOption } from '../../shared-core/src/learn/findOption/findOption.js';
import type { OptionPlace } from '../../shared-core/src/learn/findOption/partitions.js';
import { comparedOf } from '../shared-core/learn/dumps.js';

type Next = (below: number) => number;

export interface OptionScore {
  /** Whether the option's byte comes first, by itself or as one that moves together with the first. */
  readonly first: boolean;
  /** Places called found, and how many of them have nothing to do with the option. */
  readonly found: number;
  readonly wrong: number;
}

const DUMPS = 30;
const LINES = 6;
const BYTES = 8;

/**
 * Thirty dumps of which half have an option, at a place and of a width by chance; `mislabelled` of them are in the
 * wrong group. Half of all other bytes vary by themselves: by a bit, a half byte, or all over.
 */
export function scoreOption(next: Next, mislabelled: number): OptionScore {
  const [line, byte] = [next(LINES), next(BYTES)];
  const [unset, set] = twoValues(next);
  const kinds = Array.from({ length: LINES * BYTES }, () => next(6));
  const wrongLabels = new Set<number>();
  while (wrongLabels.size < mislabelled) wrongLabels.add(next(DUMPS));
  const dumps = Array.from({ length: DUMPS }, (_, car) => {
    const fitted = car % 2 === 0;
    const lines = Array.from({ length: LINES }, (_, at) =>
      Array.from({ length: BYTES }, (_, column) => noise(kinds[at * BYTES + column] as number, next)),
    );
    (lines[line] as number[])[byte] = fitted ? set : unset;
    return { name: `${car}`, group: fitted === wrongLabels.has(car) ? 1 : 0, dump: comparedOf(lines) };
  });
  const { candidates } = findOption(dumps, ['with', 'without']);
  const isOption = (place: OptionPlace) =>
    place.line === line + 1 && place.byte <= byte + 1 && place.byte + place.count > byte + 1;
  const [best] = candidates;
  const found = candidates.filter(({ q }) => q <= FOUND);
  return {
    first: best !== undefined && [best.place, ...best.sameAs].some(isOption),
    found: found.length,
    wrong: found.filter(({ place, sameAs }) => ![place, ...sameAs].some(isOption)).length,
  };
}

/** A bit, a half byte or a byte, without and with the equipment. */
function twoValues(next: Next): readonly [number, number] {
  const before = next(256);
  const mask = [1 << next(8), 0x0f, 0xf0, 0xff][next(4)] as number;
  const change = (1 + next(255)) & mask;
  return [before, before ^ (change === 0 ? mask : change)];
}

function noise(kind: number, next: Next): number {
  return [0x40, 0x08, 0xff, next(2), next(16), next(256)][kind] as number;
}
