import type { Dump } from '../../model/dump.js';
import { calledLine } from '../../model/lineName.js';
import type { OptionCandidate } from './rank.js';

/** A candidate by what a dump calls its lines, to be put into words; records of images go by their addresses. */
export function calledBy(own: Dump | undefined, candidate: OptionCandidate): OptionCandidate {
  if (own === undefined || own.layout.kind === 'image') return candidate;
  const inDump = (place: OptionCandidate['place']) => ({ ...place, line: calledLine(own, place.line) });
  const { place, sameAs, digit } = candidate;
  return {
    ...candidate,
    place: inDump(place),
    sameAs: sameAs.map(inDump),
    ...(digit && { digit: { ...digit, place: inDump(digit.place) } }),
  };
}
