import type { SumJson } from './profileJson.js';

/** Parameters of the CRCs that the fixtures use, from the published catalogue of parametrised CRC algorithms. */
const CRCS: Readonly<
  Record<string, { width: number; poly: bigint; init: bigint; reflected: boolean; xorout: bigint }>
> = {
  'CRC-8/SMBUS': { width: 8, poly: 0x07n, init: 0n, reflected: false, xorout: 0n },
  'CRC-16/IBM-3740': { width: 16, poly: 0x1021n, init: 0xffffn, reflected: false, xorout: 0n },
  'CRC-16/MODBUS': { width: 16, poly: 0x8005n, init: 0xffffn, reflected: true, xorout: 0n },
  'CRC-32/ISO-HDLC': { width: 32, poly: 0x04c11db7n, init: 0xffffffffn, reflected: true, xorout: 0xffffffffn },
};

export const CRC_MODELS: readonly string[] = Object.keys(CRCS);

/** How many bytes a sum takes. */
export function widthOf(sum: SumJson): number {
  if (sum.method === 'crc') return (CRCS[sum.model ?? '']?.width ?? Number.NaN) / 8;
  if (sum.method === 'adler') return 4;
  return (sum.bits ?? (sum.method === 'add' || sum.method === 'xor' ? 8 : 16)) / 8;
}

/** The sum over some bytes, as the bytes in which it is stored. Written for clearness alone: bit by bit, unit by unit. */
export function sumOf(sum: SumJson, bytes: readonly number[]): readonly number[] {
  const width = widthOf(sum);
  return bytesOfNumber(valueBy(sum, bytes, BigInt(8 * width)), width, sum.order ?? 'big');
}

function valueBy(sum: SumJson, bytes: readonly number[], bits: bigint): bigint {
  const modulus = 1n << bits;
  const order = sum.order ?? 'big';
  const start = BigInt(sum.start ?? 0);
  switch (sum.method) {
    case 'add': {
      const plain = unitsOf(bytes, sum.unit ?? 1, order).reduce((all, unit) => all + unit, start) % modulus;
      if (sum.complement === 'ones') return modulus - 1n - plain;
      return sum.complement === 'twos' ? (modulus - plain) % modulus : plain;
    }
    case 'add-end-around': {
      const folded = unitsOf(bytes, Number(bits / 8n), order).reduce((all, unit) => {
        const more = all + unit;
        return more >= modulus ? more - modulus + 1n : more;
      }, 0n);
      return modulus - 1n - folded;
    }
    case 'xor':
      return unitsOf(bytes, Number(bits / 8n), order).reduce((all, unit) => all ^ unit, start);
    case 'fletcher':
      return twoSums(unitsOf(bytes, Number(bits / 16n), order), bits === 16n ? 255n : 65_535n, 0n, bits / 2n);
    case 'adler':
      return twoSums(unitsOf(bytes, 1, order), 65_521n, 1n, 16n);
    case 'crc':
      return crc(sum.model ?? '', bytes);
  }
}

function twoSums(units: readonly bigint[], modulus: bigint, start: bigint, half: bigint): bigint {
  let [first, second] = [start, 0n];
  for (const unit of units) {
    first = (first + unit) % modulus;
    second = (second + first) % modulus;
  }
  return (second << half) | first;
}

function crc(model: string, bytes: readonly number[]): bigint {
  const known = CRCS[model];
  if (known === undefined) throw new RangeError(`the oracle knows no ${model}`);
  const { width, poly, init, reflected, xorout } = known;
  const top = 1n << BigInt(width - 1);
  const mask = (top << 1n) - 1n;
  let register = init;
  for (const byte of bytes) {
    for (let i = 0; i < 8; i++) {
      const bit = BigInt((byte >> (reflected ? i : 7 - i)) & 1);
      const out = (register & top) === 0n ? 0n : 1n;
      register = (register << 1n) & mask;
      if (out !== bit) register ^= poly;
    }
  }
  return (reflected ? mirrored(register, width) : register) ^ xorout;
}

function mirrored(value: bigint, width: number): bigint {
  return BigInt(`0b${value.toString(2).padStart(width, '0').split('').reverse().join('')}`);
}

/** Numbers of so many bytes each; a short last one is filled with zero bytes. */
function unitsOf(bytes: readonly number[], unit: number, order: 'big' | 'little'): readonly bigint[] {
  return Array.from({ length: Math.ceil(bytes.length / unit) }, (_, i) => {
    const one = Array.from({ length: unit }, (_, at) => bytes[i * unit + at] ?? 0);
    if (order === 'little') one.reverse();
    return one.reduce((all, byte) => all * 256n + BigInt(byte), 0n);
  });
}

export function bytesOfNumber(value: bigint, count: number, order: 'big' | 'little'): readonly number[] {
  const big = Array.from({ length: count }, (_, i) => Number((value >> BigInt(8 * (count - 1 - i))) & 0xffn));
  return order === 'big' ? big : big.reverse();
}
