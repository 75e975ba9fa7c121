import { hex } from '../../../shared-core/src/base/index.js';
import {
  bitsText,
  digitsIn,
  exceptionNames,
  type OptionCandidate,
  type OptionPlace,
  type OptionSearch,
  type PairSearch,
  valuesInHex,
} from '../../../shared-core/src/learn/index.js';

/** A candidate as scripts see it. */
export function candidateToJson(candidate: OptionCandidate, search: OptionSearch): object {
  const { place, p, q, exceptions, sameAs, digit } = candidate;
  return {
    ...placeToJson(place),
    with: valuesInHex(candidate, 0),
    without: valuesInHex(candidate, 1),
    p,
    q,
    separates: exceptions.length === 0,
    exceptions: exceptionNames(search, candidate),
    sameAs: sameAs.map(placeToJson),
    ...(digit !== undefined && {
      digit: {
        ...placeToJson(digit.place),
        with: valuesInHex({ ...candidate, ...digit }, 0),
        without: valuesInHex({ ...candidate, ...digit }, 1),
      },
    }),
  };
}

export function nextToJson({ next, matrix }: OptionSearch): object | null {
  if (next === undefined) return null;
  if (next.kind === 'unlabelled') return { file: matrix.dumps[next.dump]?.name ?? '', gain: next.bits };
  const { first, firstValue, second, secondValue, bits } = next;
  const side = ({ place }: OptionCandidate, value: number) => ({
    ...placeToJson(place),
    value: digitsIn(place, value),
  });
  return { wanted: [side(first, firstValue), side(second, secondValue)], gain: bits };
}

/** Each byte that differs between before and after, and what it may be. */
export function pairToJson({ differences }: PairSearch): readonly object[] {
  return differences.map(({ line, byte, before, after, role }) => ({
    line,
    byte,
    before: hex(before),
    after: hex(after),
    role,
  }));
}

function placeToJson({ line, byte, count, bits }: OptionPlace): object {
  return count === 2 ? { line, bytes: `${byte}-${byte + 1}` } : { line, byte, bits: bitsText(bits) };
}
