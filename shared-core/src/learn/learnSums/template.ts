import type { ByteOrder } from '../../base/number.js';
import type { Steps } from '../../base/steps.js';
import { valueOver } from '../../checksum/checksum.js';
import { CRC_NAMES, crcModel } from '../../checksum/crcCatalogue.js';
import { checksumOf, type SumSpec } from '../../checksum/registry.js';
import { sumsWithoutConstant } from '../../checksum/variants.js';
import type { Sample } from './line.js';

/** A way to sum of which one constant may be unknown. */
export interface Template {
  /** Byte order of the stored value, and of addends of several bytes. */
  readonly order: ByteOrder;
  /** Does the order of the covered bytes matter? */
  readonly sensitive: boolean;
  /** Whether the constant is free (solved for), or must be 0n. */
  readonly free: boolean;
  /** How unusual the rule is: among rules that these lines cannot tell apart, the plainest comes first. */
  readonly cost: number;
  /** What the stored value leaves unexplained: the same number for all lines that follow the rule. */
  readonly residual: (sample: Sample) => bigint;
  /** The rule with the constant put in. */
  readonly specOf: (constant: bigint) => SumSpec;
}

const ORDERS: readonly ByteOrder[] = ['big', 'little'];

/** Every rule of the catalogue whose value has this many bytes. */
export function* templateSteps(width: number): Steps<readonly Template[]> {
  const found: Template[] = [];
  for (const order of ORDERS.slice(0, width === 1 ? 1 : 2)) {
    found.push(...addTemplates(width, order), ...xorTemplates(width, order), ...fixedTemplates(width, order));
    // Each CRC makes tables of its own, which takes a while for all of them.
    for (const { model, parameters } of modelsOf(8 * width)) {
      yield;
      found.push(fixed({ method: 'crc', model, ...parameters }, order, true, 4));
    }
    for (const division of catalogueDivisions(8 * width)) {
      yield;
      found.push(crcTemplate(8 * width, division, order, 6));
    }
  }
  return found;
}

/** Sums of one byte in which the place of a byte does not matter. */
export function symmetricTemplates(): readonly Template[] {
  return [...addTemplates(1, 'big'), ...xorTemplates(1, 'big'), ...fixedTemplates(1, 'big')].filter(
    ({ sensitive }) => !sensitive,
  );
}

function addTemplates(width: number, order: ByteOrder): Template[] {
  const bits = (8 * width) as 8 | 16 | 24 | 32;
  if (width > 4) return [];
  const units = ([1, 2, 4] as const).filter((unit) => unit <= width);
  return units.flatMap((unit) => {
    const plain = { method: 'add', bits, unit, order, complement: 'none', start: 0n } as const;
    const checksum = checksumOf(plain);
    const cost = (order === 'little' ? 1 : 0) + Math.log2(unit);
    const modulo = (value: bigint) => BigInt.asUintN(bits, value);
    return [
      {
        order,
        sensitive: unit > 1,
        free: true,
        cost,
        residual: ({ run, stored }: Sample) => modulo(stored - valueOver(checksum, run)),
        specOf: (start: bigint): SumSpec => ({ ...plain, start }),
      },
      {
        order,
        sensitive: unit > 1,
        free: true,
        cost: cost + 1,
        // A complemented sum and the sum itself add up to the same for all lines.
        residual: ({ run, stored }: Sample) => modulo(stored + valueOver(checksum, run)),
        specOf: (constant: bigint): SumSpec =>
          constant === modulo(-1n)
            ? { ...plain, complement: 'ones' }
            : { ...plain, complement: 'twos', start: modulo(-constant) },
      },
    ];
  });
}

function xorTemplates(width: number, order: ByteOrder): Template[] {
  if (width === 3 || width > 4) return [];
  const plain = { method: 'xor', bits: (8 * width) as 8 | 16 | 32, order, start: 0n } as const;
  const checksum = checksumOf(plain);
  return [
    {
      order,
      sensitive: width > 1,
      free: true,
      cost: 1 + (order === 'little' ? 1 : 0),
      residual: ({ run, stored }) => stored ^ valueOver(checksum, run),
      specOf: (start) => ({ ...plain, start }),
    },
  ];
}

/** Sums without a constant of their own. */
function fixedTemplates(width: number, order: ByteOrder): Template[] {
  return sumsWithoutConstant(8 * width, order).map((spec) => fixed(spec, order, goesByPlace(spec), 3));
}

/** Polynomial and directions of a CRC, without its constants. */
export interface Division {
  readonly poly: bigint;
  readonly refin: boolean;
  readonly refout: boolean;
}

/** All divisions of the catalogue that are of this many bits. */
export function catalogueDivisions(bits: number): readonly Division[] {
  const divisions = modelsOf(bits).map(({ parameters: { poly, refin, refout } }) => ({ poly, refin, refout }));
  return [...new Map(divisions.map((one) => [`${one.poly} ${one.refin} ${one.refout}`, one])).values()];
}

function modelsOf(bits: number) {
  return CRC_NAMES.flatMap((model) => {
    const parameters = crcModel(model);
    return parameters === undefined || parameters.width !== bits ? [] : [{ model, parameters }];
  });
}

/** A CRC of which all is given but one constant: the end value, or what start and end value do to runs of one length. */
export function crcTemplate(width: number, division: Division, order: ByteOrder, cost: number, init = 0n): Template {
  const plain = { method: 'crc', model: undefined, width, ...division, init, xorout: 0n } as const;
  const checksum = checksumOf(plain);
  return {
    order,
    sensitive: true,
    free: true,
    cost: cost + (order === 'little' ? 1 : 0),
    residual: ({ run, stored }) => stored ^ valueOver(checksum, run),
    specOf: (xorout) => ({ ...plain, xorout }),
  };
}

/** Whether a byte counts differently in another place of the run. */
function goesByPlace(spec: SumSpec): boolean {
  const checksum = checksumOf(spec);
  return valueOver(checksum, Uint8Array.of(1, 0)) !== valueOver(checksum, Uint8Array.of(0, 1));
}

function fixed(spec: SumSpec, order: ByteOrder, sensitive: boolean, cost: number): Template {
  const checksum = checksumOf(spec);
  return {
    order,
    sensitive,
    free: false,
    cost: cost + (order === 'little' ? 1 : 0),
    residual: ({ run, stored }) => stored ^ valueOver(checksum, run),
    specOf: () => spec,
  };
}
