import type { Dump } from '../../model/dump.js';
import { calledLine } from '../../model/lineName.js';
import type { OptionCandidate } from './rank.js';

/** A candidate by what a dump calls its lines, to be put into words; records of images go by their addresses. */
export function calledBy(own: Dump | undefined, candidate: OptionCandidate): OptionCandidate {
  const inDump = (place: OptionCandidate['place']) => placeCalledBy(own, place);
  const { place, sameAs, digit } = candidate;
  return {
    ...candidate,
    place: inDump(place),
    sameAs: sameAs.map(inDump),
    ...(digit && { digit: { ...digit, place: inDump(digit.place) } }),
  };
}

/** The same of one place. */
export function placeCalledBy(own: Dump | undefined, place: OptionCandidate['place']): OptionCandidate['place'] {
  return own === undefined || own.layout.kind === 'image' ? place : { ...place, line: calledLine(own, place.line) };
}
