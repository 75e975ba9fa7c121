import type { CrcParameters } from './crcRegister.js';

/**
 * CRC models by their names in the "Catalogue of parametrised CRC algorithms" (G. Cook), which is where the parameters come from.
 */
const MODELS: readonly (readonly [
  name: string,
  width: number,
  poly: bigint,
  init: bigint,
  refin: boolean,
  refout: boolean,
  xorout: bigint,
])[] = [
  ['CRC-8/AUTOSAR', 8, 0x2fn, 0xffn, false, false, 0xffn],
  ['CRC-8/BLUETOOTH', 8, 0xa7n, 0x00n, true, true, 0x00n],
  ['CRC-8/DVB-S2', 8, 0xd5n, 0x00n, false, false, 0x00n],
  ['CRC-8/GSM-A', 8, 0x1dn, 0x00n, false, false, 0x00n],
  ['CRC-8/GSM-B', 8, 0x49n, 0x00n, false, false, 0xffn],
  ['CRC-8/HITAG', 8, 0x1dn, 0xffn, false, false, 0x00n],
  ['CRC-8/I-432-1', 8, 0x07n, 0x00n, false, false, 0x55n],
  ['CRC-8/MAXIM-DOW', 8, 0x31n, 0x00n, true, true, 0x00n],
  ['CRC-8/NRSC-5', 8, 0x31n, 0xffn, false, false, 0x00n],
  ['CRC-8/OPENSAFETY', 8, 0x2fn, 0x00n, false, false, 0x00n],
  ['CRC-8/ROHC', 8, 0x07n, 0xffn, true, true, 0x00n],
  ['CRC-8/SAE-J1850', 8, 0x1dn, 0xffn, false, false, 0xffn],
  ['CRC-8/SMBUS', 8, 0x07n, 0x00n, false, false, 0x00n],
  ['CRC-8/TECH-3250', 8, 0x1dn, 0xffn, true, true, 0x00n],
  ['CRC-12/UMTS', 12, 0x80fn, 0x000n, false, true, 0x000n],
  ['CRC-15/CAN', 15, 0x4599n, 0x0000n, false, false, 0x0000n],
  ['CRC-16/ARC', 16, 0x8005n, 0x0000n, true, true, 0x0000n],
  ['CRC-16/CMS', 16, 0x8005n, 0xffffn, false, false, 0x0000n],
  ['CRC-16/DDS-110', 16, 0x8005n, 0x800dn, false, false, 0x0000n],
  ['CRC-16/DECT-R', 16, 0x0589n, 0x0000n, false, false, 0x0001n],
  ['CRC-16/DNP', 16, 0x3d65n, 0x0000n, true, true, 0xffffn],
  ['CRC-16/EN-13757', 16, 0x3d65n, 0x0000n, false, false, 0xffffn],
  ['CRC-16/GENIBUS', 16, 0x1021n, 0xffffn, false, false, 0xffffn],
  ['CRC-16/GSM', 16, 0x1021n, 0x0000n, false, false, 0xffffn],
  ['CRC-16/IBM-3740', 16, 0x1021n, 0xffffn, false, false, 0x0000n],
  ['CRC-16/IBM-SDLC', 16, 0x1021n, 0xffffn, true, true, 0xffffn],
  ['CRC-16/ISO-IEC-14443-3-A', 16, 0x1021n, 0xc6c6n, true, true, 0x0000n],
  ['CRC-16/KERMIT', 16, 0x1021n, 0x0000n, true, true, 0x0000n],
  ['CRC-16/MAXIM-DOW', 16, 0x8005n, 0x0000n, true, true, 0xffffn],
  ['CRC-16/MCRF4XX', 16, 0x1021n, 0xffffn, true, true, 0x0000n],
  ['CRC-16/MODBUS', 16, 0x8005n, 0xffffn, true, true, 0x0000n],
  ['CRC-16/RIELLO', 16, 0x1021n, 0xb2aan, true, true, 0x0000n],
  ['CRC-16/SPI-FUJITSU', 16, 0x1021n, 0x1d0fn, false, false, 0x0000n],
  ['CRC-16/T10-DIF', 16, 0x8bb7n, 0x0000n, false, false, 0x0000n],
  ['CRC-16/TMS37157', 16, 0x1021n, 0x89ecn, true, true, 0x0000n],
  ['CRC-16/UMTS', 16, 0x8005n, 0x0000n, false, false, 0x0000n],
  ['CRC-16/USB', 16, 0x8005n, 0xffffn, true, true, 0xffffn],
  ['CRC-16/XMODEM', 16, 0x1021n, 0x0000n, false, false, 0x0000n],
  ['CRC-24/OPENPGP', 24, 0x864cfbn, 0xb704cen, false, false, 0x000000n],
  ['CRC-32/AIXM', 32, 0x814141abn, 0x00000000n, false, false, 0x00000000n],
  ['CRC-32/AUTOSAR', 32, 0xf4acfb13n, 0xffffffffn, true, true, 0xffffffffn],
  ['CRC-32/BZIP2', 32, 0x04c11db7n, 0xffffffffn, false, false, 0xffffffffn],
  ['CRC-32/CKSUM', 32, 0x04c11db7n, 0x00000000n, false, false, 0xffffffffn],
  ['CRC-32/ISCSI', 32, 0x1edc6f41n, 0xffffffffn, true, true, 0xffffffffn],
  ['CRC-32/ISO-HDLC', 32, 0x04c11db7n, 0xffffffffn, true, true, 0xffffffffn],
  ['CRC-32/JAMCRC', 32, 0x04c11db7n, 0xffffffffn, true, true, 0x00000000n],
  ['CRC-32/MPEG-2', 32, 0x04c11db7n, 0xffffffffn, false, false, 0x00000000n],
  ['CRC-64/ECMA-182', 64, 0x42f0e1eba9ea3693n, 0x0000000000000000n, false, false, 0x0000000000000000n],
  ['CRC-64/XZ', 64, 0x42f0e1eba9ea3693n, 0xffffffffffffffffn, true, true, 0xffffffffffffffffn],
];

/** Other names in common use for models of the catalogue. */
const ALIASES: Readonly<Record<string, string>> = {
  'CRC-16/CCITT-FALSE': 'CRC-16/IBM-3740',
  'CRC-16/AUTOSAR': 'CRC-16/IBM-3740',
  'CRC-16/CCITT': 'CRC-16/KERMIT',
  'CRC-16/BLUETOOTH': 'CRC-16/KERMIT',
  'CRC-16/V-41-LSB': 'CRC-16/KERMIT',
  'CRC-16/AUG-CCITT': 'CRC-16/SPI-FUJITSU',
  'CRC-16/X-25': 'CRC-16/IBM-SDLC',
  'CRC-16/ISO-HDLC': 'CRC-16/IBM-SDLC',
  'CRC-16/BUYPASS': 'CRC-16/UMTS',
  'CRC-32/PKZIP': 'CRC-32/ISO-HDLC',
  'CRC-32': 'CRC-32/ISO-HDLC',
  'CRC-32P4': 'CRC-32/AUTOSAR',
  'CRC-64/AUTOSAR': 'CRC-64/XZ',
  'CRC-8/ITU': 'CRC-8/I-432-1',
  'CRC-8/AES': 'CRC-8/TECH-3250',
  'CRC-8/EBU': 'CRC-8/TECH-3250',
  'CRC-8/J1850': 'CRC-8/SAE-J1850',
};

export const CRC_NAMES: readonly string[] = MODELS.map(([name]) => name);

/** The parameters of a model of the catalogue, by its name or an alias in any letter case. */
export function crcModel(name: string): CrcParameters | undefined {
  const wanted = name.toUpperCase();
  const model = MODELS.find(([known]) => known === (ALIASES[wanted] ?? wanted));
  if (model === undefined) return undefined;
  const [, width, poly, init, refin, refout, xorout] = model;
  return { width, poly, init, refin, refout, xorout };
}
