import { hex } from '../base/hex.js';
import { listed, type Phrase, phrase } from '../base/phrase.js';
import type { SumSpec } from '../checksum/registry.js';
import type { LineSum, LineSumPart, Profile, Total } from '../profile/profile.js';

/** How lines are summed, in words. */
export function lineSumInWords({ lineSum, module }: Pick<Profile, 'lineSum' | 'module'>): Phrase {
  if (lineSum === undefined) return phrase('no sum of their own');
  return phrase('{0}, over {1}', specInWords(lineSum.spec, lineSum.order), listed(partsInWords(lineSum, module)));
}

function partsInWords({ over, labelBytes }: LineSum, module: number | undefined): readonly Phrase[] {
  const words: Record<LineSumPart, Phrase> = {
    module: phrase('module number {0}', hex(module ?? 0, 4)),
    label: labelBytes === 1 ? phrase('line number') : phrase('line number as {0} bytes', labelBytes),
    length: phrase('number of data bytes'),
    data: phrase('data'),
  };
  return over.map((part) => words[part]);
}

/** How and where the file is summed, in words. */
export function totalInWords({ spec, order, covers, stored }: Total): Phrase {
  const sum = specInWords(spec, order);
  const run = coverageInWords(covers);
  if (stored.kind === 'line')
    return phrase('{0}, over {1}; in line {2} from byte {3}', sum, run, stored.line, stored.byte);
  if (stored.kind === 'record') return phrase('{0}, over {1}; in the line "{2}"', sum, run, stored.label);
  return phrase('{0}, over {1}; at address {2}', sum, run, hex(stored.address, 4));
}

function coverageInWords(covers: Total['covers']): Phrase {
  if (covers.kind === 'addresses') return phrase('ranges of addresses');
  if (covers.kind === 'all-lines')
    return covers.sums ? phrase('data and sums of all lines') : phrase('the data of all lines');
  return covers.sums
    ? phrase('data and sums of lines {0} to {1}', covers.from, covers.to)
    : phrase('the data of lines {0} to {1}', covers.from, covers.to);
}

/** A method with its parameters, those left out that are as usual. */
function specInWords(spec: SumSpec, order: 'big' | 'little'): Phrase {
  const details = [...detailsOf(spec), ...(order === 'little' ? [phrase('low byte first')] : [])];
  return listed([methodInWords(spec), ...details]);
}

function methodInWords(spec: SumSpec): Phrase {
  switch (spec.method) {
    case 'add':
      return phrase('sum of {0} bits', spec.bits);
    case 'add-end-around':
      return phrase('sum of {0} bits with end-around carry', spec.bits);
    case 'xor':
      return phrase('exclusive or of {0} bits', spec.bits);
    case 'fletcher':
      return phrase('Fletcher sum of {0} bits', spec.bits);
    case 'adler':
      return phrase('Adler-32');
    case 'crc':
      return spec.model === undefined ? phrase('CRC of {0} bits', spec.width) : phrase('{0}', spec.model);
  }
}

function detailsOf(spec: SumSpec): readonly Phrase[] {
  switch (spec.method) {
    case 'add':
      return [
        ...(spec.unit === 1 ? [] : [phrase('words of {0} bytes', spec.unit)]),
        ...(spec.complement === 'none'
          ? []
          : [spec.complement === 'ones' ? phrase("ones' complement") : phrase("two's complement")]),
        ...startInWords(spec.start, spec.bits),
      ];
    case 'xor':
      return startInWords(spec.start, spec.bits);
    case 'crc': {
      if (spec.model !== undefined) return [];
      const digits = Math.ceil(spec.width / 4);
      return [
        phrase('polynomial {0}', hex(spec.poly, digits)),
        ...startInWords(spec.init, spec.width),
        ...(spec.xorout === 0n ? [] : [phrase('end value {0}', hex(spec.xorout, digits))]),
        ...(spec.refin ? [phrase('bits of each byte in opposite order')] : []),
        ...(spec.refout ? [phrase('bits of the result in opposite order')] : []),
      ];
    }
    default:
      return [];
  }
}

function startInWords(start: bigint, bits: number): readonly Phrase[] {
  return start === 0n ? [] : [phrase('start value {0}', hex(start, Math.ceil(bits / 4)))];
}
