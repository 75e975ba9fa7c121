import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { hex } from '../../shared-core/src/base/hex.js';
import { numberOf } from '../../shared-core/src/base/number.js';
import { valueOver } from '../../shared-core/src/checksum/checksum.js';
import { CRC_NAMES, crcModel } from '../../shared-core/src/checksum/crcCatalogue.js';
import type { CrcParameters } from '../../shared-core/src/checksum/crcRegister.js';
import { reflect } from '../../shared-core/src/checksum/polynomial.js';
import { checksumOf, type SumSpec } from '../../shared-core/src/checksum/registry.js';
import { bytesOfHex } from '../support/hex.js';
import * as published from './published.js';

const add = (bits: 8 | 16 | 32, more: Partial<Extract<SumSpec, { method: 'add' }>> = {}): SumSpec => ({
  method: 'add',
  bits,
  unit: 1,
  order: 'big',
  complement: 'none',
  start: 0n,
  ...more,
});

/** The published Fletcher-32 values read words little-endian. */
const fletcher = (bits: 16 | 32): SumSpec => ({ method: 'fletcher', bits, order: 'little' });

function check(spec: SumSpec, bytes: string | Uint8Array, value: string): void {
  const run = typeof bytes === 'string' ? bytesOfHex(bytes) : bytes;
  assert.equal(hex(valueOver(checksumOf(spec), run), value.length), value);
}

function model(name: string): SumSpec {
  const parameters = crcModel(name);
  assert.ok(parameters, name);
  return { method: 'crc', model: name, ...parameters };
}

/** Profile 11: the polynomial of SAE J1850 from zero, without inversion (from memory; it gives the published values). */
const END_TO_END_8: SumSpec = { method: 'crc', model: undefined, ...(crcModel('CRC-8/GSM-A') as CrcParameters) };

describe('sums against published values', () => {
  it("Intel HEX records: two's complement of the byte sum", () => {
    for (const [record = ''] of published.INTEL_HEX)
      check(add(8, { complement: 'twos' }), record.slice(1, -2), record.slice(-2));
  });

  it("S-records: ones' complement of the byte sum", () => {
    for (const [record = ''] of published.S_RECORDS)
      check(add(8, { complement: 'ones' }), record.slice(2, -2), record.slice(-2));
  });

  it('XCP BUILD_CHECKSUM', () => {
    const crcs: Record<string, string> = {
      CRC_16: 'CRC-16/ARC',
      CRC_16_CITT: 'CRC-16/IBM-3740',
      CRC_32: 'CRC-32/ISO-HDLC',
    };
    for (const [type = '', order, bytes = '', value = ''] of published.XCP) {
      const name = crcs[type];
      const [unit, width] = type.slice(-2);
      const spec = name
        ? model(name)
        : add((8 * Number(width)) as 8, { unit: Number(unit) as 1, order: order === 'LE' ? 'little' : 'big' });
      check(spec, bytes, value);
    }
  });

  it('CRC tables of AUTOSAR and Modbus', () => {
    for (const [name = '', bytes = '', value = ''] of published.CRC_VALUES) check(model(name), bytes, value);
  });

  it('CRC catalogue: check values and residues', () => {
    assert.equal(published.CRC_CATALOGUE.length, CRC_NAMES.length);
    for (const [name = '', value = '', residue = ''] of published.CRC_CATALOGUE) {
      const digits = new TextEncoder().encode('123456789');
      check(model(name), digits, value.toUpperCase());
      const parameters = crcModel(name);
      assert.ok(parameters);
      if (parameters.width % 8 !== 0) continue;
      // The residue is the register after an error-free codeword, before the last inversion.
      const sum = valueOver(checksumOf(model(name)), digits);
      const sent = bytesOfHex(hex(sum, parameters.width / 4));
      const register = valueOver(
        checksumOf({ method: 'crc', model: undefined, ...parameters, xorout: 0n }),
        Uint8Array.of(...digits, ...(parameters.refout ? sent.reverse() : sent)),
      );
      assert.equal(hex(register, residue.length), residue.toUpperCase(), name);
    }
  });

  it('CRC catalogue: other names in use, by the check value of the one that they are of', () => {
    for (const [other, name] of [
      ['CRC-32C', 'CRC-32/ISCSI'],
      ['crc-16/ccitt-false', 'CRC-16/IBM-3740'],
      ['CRC-32/POSIX', 'CRC-32/CKSUM'],
      ['CRC-8/MAXIM', 'CRC-8/MAXIM-DOW'],
    ] as const)
      assert.deepEqual(crcModel(other), crcModel(name));
  });

  it('CRC codewords of third parties', () => {
    for (const [name = '', codeword = ''] of published.CRC_CODEWORDS) {
      const parameters = crcModel(name);
      assert.ok(parameters, name);
      const bytes = bytesOfHex(codeword);
      const width = parameters.width / 8;
      const stored = numberOf(bytes.subarray(-width), parameters.refout ? 'little' : 'big');
      assert.equal(valueOver(checksumOf(model(name)), bytes.subarray(0, -width)), stored, `${name} ${codeword}`);
    }
  });

  it('AUTOSAR end-to-end protection: a sum inside the bytes it covers, over a hidden number as well', () => {
    const low = (id: string) => (id.match(/../g) ?? []).reverse().join('');
    for (const [profile, id = '', , bytes = ''] of published.END_TO_END) {
      if (profile === 'p4') check(model('CRC-32/AUTOSAR'), bytes.slice(0, 16) + bytes.slice(24), bytes.slice(16, 24));
      else if (profile === 'p5') check(model('CRC-16/IBM-3740'), bytes.slice(4) + low(id), low(bytes.slice(0, 4)));
      else check(END_TO_END_8, low(id) + bytes.slice(2), bytes.slice(0, 2));
    }
  });

  it('ones’ complement sum of RFC 1071', () => {
    for (const [bytes = '', value = ''] of published.INTERNET)
      check({ method: 'add-end-around', bits: 16, order: 'big' }, bytes, value);
  });

  it('Fletcher and Adler', () => {
    for (const [bytes = '', value = ''] of published.FLETCHER_16) check(fletcher(16), bytes, value);
    for (const [bytes = '', value = ''] of published.FLETCHER_32) check(fletcher(32), bytes, value);
    for (const [, from, to, value = ''] of published.FLETCHER_32_RUNS) {
      const run = Uint8Array.from({ length: Number(to) - Number(from) }, (_, i) => 13 * (i + Number(from)));
      check(fletcher(32), run, value);
    }
    for (const [bytes = '', value = ''] of published.ADLER_32) check({ method: 'adler' }, bytes, value);
  });

  it('longitudinal checks', () => {
    for (const [bytes = '', value = ''] of published.LRC) check(add(8, { complement: 'twos' }), bytes, value);
    for (const [bytes = '', value = ''] of published.XOR_8)
      check({ method: 'xor', bits: 8, order: 'big', start: 0n }, bytes, value);
  });

  it('whole-image values of srec_cat over the published 52-byte M68000 image', () => {
    const image = published.S_RECORDS.filter(([record = '']) => /^S1(?:1300(?:00285F245F22|10|20)|070030)/.test(record))
      .map(([record = '']) => record.slice(8, -2))
      .join('');
    assert.equal(image.length, 104);
    check(add(8, { complement: 'twos' }), image, 'C5');
    check(add(16, { complement: 'twos' }), image, 'F6C5');
    check(model('CRC-16/IBM-3740'), image, 'F643');
    check(model('CRC-32/ISO-HDLC'), image, '1900D751');
    check({ method: 'adler' }, image, 'DA1B093C');
  });

  it('reflection turns a value round (by definition)', () => {
    assert.equal(reflect(0b0010_1101n, 8), 0b1011_0100n);
  });
});
