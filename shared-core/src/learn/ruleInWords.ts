import { hex } from '../base/hex.js';
import { listed, type Phrase, phrase } from '../base/phrase.js';
import { type SumSpec, sumInWords } from '../checksum/registry.js';
import type { Label } from '../format/row.js';
import { lineNamer } from '../model/lineName.js';
import { writtenRanges } from '../profile/dataRanges.js';
import type { LineSum, LineSumPart, Profile, Total } from '../profile/profile.js';

/** How lines are summed, in words. */
export function lineSumInWords({ lineSum, module }: Pick<Profile, 'lineSum' | 'module'>): Phrase {
  if (lineSum === undefined) return phrase('no sum of their own');
  const [sum, parts] = [specInWords(lineSum.spec, lineSum.order), listed(partsInWords(lineSum, module))];
  return lineSum.front ? phrase('{0}, over {1}; before the data', sum, parts) : phrase('{0}, over {1}', sum, parts);
}

/** The data bytes that a sum covers, where these are not all. */
function dataInWords(ranges: LineSum['data']): Phrase {
  const [range, ...others] = ranges ?? [];
  if (range === undefined) return phrase('data');
  if (others.length === 0 && range.last === undefined && range.spare === 0)
    return phrase('data from byte {0} on', range.first);
  if (others.length === 0 && range.last === undefined && range.first === 1)
    return range.spare === 1
      ? phrase('data without the last byte')
      : phrase('data without the last {0} bytes', range.spare);
  return phrase('data bytes {0}', writtenRanges([range, ...others]));
}

/** Each part that a sum covers, in order. */
export function partsInWords({ over, labelBytes, data }: LineSum, module: number | undefined): readonly Phrase[] {
  const numberOfLabel = (part: LineSumPart) => {
    const which = part.slice(-1);
    return labelBytes === 1
      ? phrase('number {0} of the label', which)
      : phrase('number {0} of the label as {1} bytes', which, labelBytes);
  };
  const words: Partial<Record<LineSumPart, Phrase>> = {
    module: phrase('module number {0}', hex(module ?? 0, 4)),
    label: labelBytes === 1 ? phrase('line number') : phrase('line number as {0} bytes', labelBytes),
    length: phrase('number of data bytes'),
    data: dataInWords(data),
  };
  return over.map((part) => words[part] ?? numberOfLabel(part));
}

/** How and where the file is summed, in words; lines as a dump calls them. */
export function totalInWords(
  { spec, order, covers, stored, line }: Total,
  dump: Parameters<typeof lineNamer>[0],
): Phrase {
  const called = lineNamer(dump);
  const sum = specInWords(spec, order);
  const run = coverageInWords(covers, called);
  if (stored.kind === 'line')
    return phrase('{0}, over {1}; in line {2} from byte {3}', sum, run, called(stored.line), stored.byte);
  if (stored.kind === 'record')
    return phrase('{0}, over {1}; in the line "{2}"', sum, run, line?.pattern ?? called(stored.label));
  return phrase('{0}, over {1}; at address {2}', sum, run, hex(stored.address, 4));
}

function coverageInWords(covers: Total['covers'], called: (label: Label) => string): Phrase {
  if (covers.kind === 'addresses') return phrase('ranges of addresses');
  if (covers.kind === 'all-lines')
    return covers.sums ? phrase('data and sums of all lines') : phrase('the data of all lines');
  if (covers.kind === 'line-parts') return phrase('parts of the lines');
  return covers.sums
    ? phrase('data and sums of lines {0} to {1}', called(covers.from), called(covers.to))
    : phrase('the data of lines {0} to {1}', called(covers.from), called(covers.to));
}

/** A method with its parameters, those left out that are as usual. */
function specInWords(spec: SumSpec, order: 'big' | 'little'): Phrase {
  return order === 'little' ? phrase('{0}, low byte first', sumInWords(spec)) : sumInWords(spec);
}
