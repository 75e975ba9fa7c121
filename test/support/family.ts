import { type Bytes, dumpOfBytes, inventedBytes, putOption } from './oracle/build.js';
import type { ProfileJson } from './oracle/profileJson.js';
import { type FormId, formOf, PATTERN } from './oracle/texts.js';

/**
 * Invented modules of one invented car, which together have all that a profile can say: what the demo leaves out (several
 * kept sums, options on locked and volatile places, security bits beside ordinary ones, wide options …). All sums are
 * computed by the oracle, so that no fault of the core is in them.
 */
export interface FamilyMember {
  readonly name: string;
  readonly form: FormId;
  readonly profile: ProfileJson;
  readonly profileFile: string;
  /** The sealed dump as found. */
  readonly backupFile: string;
  readonly backup: string;
  /** The dump in work, which names the backup and differs from it in some options. */
  readonly workFile: string;
  readonly work: string;
}

const LAMPS = { '0': 'left', '1': 'right', '2': 'brake', '5': 'reverse' };
const NO_YES = { '0': 'no', '1': 'yes' };

/**
 * Lines with sums of two bytes, little-endian. Two kept totals that overlap, one that is rewritten and runs over line sums,
 * one stored wholly in a locked place; balance places of one byte (which holds an option), of two, and of a whole line.
 */
const BODY: ProfileJson = {
  format: 1,
  title: 'Body module (test)',
  module: '0x0B0D',
  lines: { from: 1, to: 16, data: 8, sum: 2 },
  lineSum: { method: 'add', bits: 16, order: 'little', over: ['module', 'label', 'length', 'data'] },
  totals: [
    { name: 'block sum', method: 'fletcher', bits: 16, over: ['data', 'sums'], lines: '9-11', line: 12, byte: 7 },
    { name: 'frame sum', method: 'xor', bits: 16, over: ['data'], lines: '6-7', line: 16, byte: 7 },
    {
      name: 'check word',
      label: 'check',
      method: 'crc',
      model: 'CRC-16/IBM-3740',
      order: 'little',
      lines: '1-8',
      keep: true,
    },
    { name: 'file sum', label: 'total', method: 'add', bits: 16, over: ['data'], keep: true },
  ],
  balance: [
    { line: 14, byte: 8 },
    { line: 8, bytes: '7-8' },
    { line: 15, bytes: '1-8' },
  ],
  options: [
    { id: 'variant', title: 'Variant', line: 1, byte: 3, values: { '1': 'estate', '2': 'saloon' } },
    { id: 'ratio', title: 'Gear ratio', line: 2, bytes: '3-4', number: { scale: 0.01 } },
    {
      id: 'tow-socket',
      title: 'Tow socket',
      group: 'Towing',
      line: 3,
      byte: 2,
      bits: '7-4',
      values: { '0': 'none', '1': '7-pin', '2': '13-pin' },
      needs: [{ option: 'fog-cutout', in: [1] }],
      hazard: 'lighting',
      confidence: 'confirmed',
      evidence: 'invented',
    },
    { id: 'fog-cutout', title: 'Fog lamp cut-out', group: 'Towing', line: 3, byte: 2, bits: '0', values: NO_YES },
    {
      id: 'immobilizer',
      title: 'Immobilizer',
      line: 3,
      byte: 4,
      bits: '7-6',
      values: { '0': 'off', '1': 'on', '2': 'learning', '3': 'failed' },
      hazard: ['security', 'other'],
    },
    {
      id: 'seat-heating',
      title: 'Seat heating',
      line: 3,
      byte: 4,
      bits: '1-0',
      values: { '0': 'none', '1': 'front', '2': 'front and rear' },
    },
    {
      id: 'alarm-horn',
      title: 'Alarm horn',
      line: 3,
      byte: 5,
      bits: '3',
      values: NO_YES,
      hazard: ['lighting', 'other'],
    },
    { id: 'lamps', title: 'Lamps watched', line: 4, byte: 1, flags: LAMPS, hazard: 'lighting', confidence: 'likely' },
    { id: 'name-tag', title: 'Name tag', line: 4, bytes: '3-6', text: 'ascii', confidence: 'guess' },
    {
      id: 'axle-load',
      title: 'Axle load offset',
      line: 5,
      bytes: '1-2',
      order: 'little',
      number: { scale: 0.5, offset: -10, unit: 'kg', min: -1000, max: 1000, signed: true },
      hazard: 'braking',
    },
    { id: 'region', title: 'Region', line: 5, bytes: '4-6', values: { '0x010203': 'north', '0x0A0B0C': 'south' } },
    {
      id: 'trailer-assist',
      title: 'Trailer assistant',
      line: 5,
      byte: 7,
      bits: '0',
      values: NO_YES,
      needs: [
        { option: 'tow-socket', in: [1, '0x2'] },
        { profile: 'cluster.dump-profile.json', option: 'trailer-lamp', in: [1] },
      ],
      hazard: 'driver-assistance',
    },
    { id: 'wiper', title: 'Wiper pause', line: 6, byte: 1, number: { scale: 2, unit: 's', max: 60 } },
    {
      id: 'rear-rack',
      title: 'Rear rack',
      line: 10,
      byte: 1,
      bits: '2-1',
      values: { '0': 'none', '1': 'fitted' },
      excludes: [{ option: 'tow-socket', in: [2] }],
    },
    { id: 'trip', title: 'Trip', line: 13, bytes: '1-2', number: { unit: 'km' } },
    { id: 'dim-level', title: 'Dim level', line: 14, byte: 8, number: { unit: '%' }, hazard: 'lighting' },
    { id: 'window', title: 'Window travel', line: 15, bytes: '7-8', number: { unit: 'mm' } },
  ],
  locked: [
    { line: 1, bytes: '1-6', why: 'identity' },
    { line: 2, byte: 4, why: 'axle' },
    { line: 16, bytes: '7-8', why: 'frame sum' },
  ],
  volatile: [{ line: 13, bytes: '1-3', why: 'trip counter' }],
};

/** Lines of differing lengths, a profile for some part numbers only, and conditions on the body module. */
const CLUSTER: ProfileJson = {
  format: 1,
  title: 'Cluster (test)',
  appliesTo: { part: ['CL-20??-*'], software: ['03*', '04?'] },
  lines: { from: 1, to: 8, data: { '1': 8, '2': 4, '3': 6, '4': 6, '5': 4, '6': 9, '7': 3, '8': 5 }, sum: 1 },
  lineSum: { method: 'crc', model: 'CRC-8/SMBUS', over: ['label', 'data'] },
  totals: [{ name: 'file sum', method: 'add-end-around', bits: 16, over: ['data'], keep: true }],
  balance: [{ line: 7 }, { line: 8, byte: 5 }],
  options: [
    {
      id: 'trailer-lamp',
      title: 'Trailer tell-tale',
      line: 3,
      byte: 2,
      bits: '4',
      values: { '0': 'not shown', '1': 'shown' },
      needs: [{ profile: 'body.dump-profile.json', option: 'tow-socket', in: [1, 2] }],
      hazard: 'lighting',
    },
    { id: 'language', title: 'Language', line: 4, byte: 1, bits: '3-0', values: { '0': 'A', '1': 'B', '2': 'C' } },
    { id: 'service', title: 'Service interval', line: 5, bytes: '1-2', number: { scale: 10, unit: 'km', max: 40_000 } },
    { id: 'start-lock', title: 'Start lock', line: 6, byte: 9, values: NO_YES, hazard: 'security' },
  ],
  locked: [{ line: 1, why: 'identity' }],
  volatile: [{ line: 8, bytes: '1-2', why: 'distance' }],
};

/** One kept sum and one balance byte, in which an option is. */
const SEAT: ProfileJson = {
  format: 1,
  title: 'Seat module (test)',
  lines: { from: 1, to: 4, data: 4, sum: 1 },
  lineSum: { method: 'xor', over: ['label', 'data'], start: '0x5A' },
  totals: [{ name: 'file sum', method: 'add', bits: 8, over: ['data'], keep: true }],
  balance: [{ line: 4, byte: 4 }],
  options: [
    { id: 'heat', title: 'Heat steps', line: 3, byte: 1, number: { max: 9 } },
    { id: 'memory', title: 'Memory places', line: 4, byte: 4, number: {}, hazard: 'other' },
    { id: 'wide-memory', title: 'Wide memory', line: 3, bytes: '3-4', order: 'little', number: { signed: true } },
  ],
  locked: [{ line: 1, bytes: '1-4', why: 'identity' }],
};

/** A memory image in Intel HEX across two pages: a stored CRC over all, a kept sum with its balance place, a sum in a locked place. */
const CONTROL: ProfileJson = {
  format: 1,
  title: 'Control unit (test)',
  notation: 'intel-hex',
  addresses: { from: '0xFF00', to: '0x100FF' },
  totals: [
    { name: 'id sum', method: 'add', bits: 8, over: [{ from: '0xFF20', to: '0xFF2F' }], address: '0xFF0F' },
    {
      name: 'table sum',
      method: 'add',
      bits: 16,
      unit: 2,
      order: 'little',
      over: [{ from: '0xFF40', to: '0xFFFF' }],
      address: '0x100F8',
      keep: true,
    },
    {
      name: 'image CRC',
      method: 'crc',
      model: 'CRC-32/ISO-HDLC',
      order: 'little',
      over: [{ from: '0xFF00', to: '0x100FB' }],
      address: '0x100FC',
    },
  ],
  balance: [{ address: '0xFFF0', bytes: 2 }],
  options: [
    { id: 'serial', title: 'Serial', address: '0xFF04', values: { '7': 'seven' } },
    { id: 'limiter', title: 'Limiter', address: '0xFF22', number: { scale: 5, unit: 'km/h' } },
    {
      id: 'cruise',
      title: 'Cruise control',
      address: '0xFF50',
      bits: '1',
      values: NO_YES,
      hazard: 'driver-assistance',
    },
    {
      id: 'key-count',
      title: 'Keys learned',
      address: '0xFF50',
      bits: '7-5',
      values: { '2': 'two', '3': 'three' },
      hazard: 'security',
    },
    {
      id: 'idle',
      title: 'Idle speed',
      address: '0xFFFF',
      bytes: 2,
      order: 'little',
      number: { unit: '1/min', max: 1200 },
    },
  ],
  locked: [{ address: '0xFF00', bytes: 16, why: 'identity' }],
  volatile: [{ address: '0x10080', bytes: 4, why: 'fault counters' }],
};

/** A memory image in S-records with a gap that the profile allows, its places written in the other ways. */
const CHASSIS: ProfileJson = {
  format: 1,
  title: 'Chassis (test)',
  notation: 's-record',
  addresses: { from: '0x020000', to: '0x0200FF' },
  absent: [{ from: '0x020060', to: '0x02007F' }],
  totals: [
    {
      name: 'half CRC',
      method: 'crc',
      model: 'CRC-16/MODBUS',
      over: [{ from: '0x020010', to: '0x02005F' }],
      address: '0x0200F0',
      keep: true,
    },
    { name: 'tail sum', method: 'adler', over: [{ from: '0x020080', to: '0x0200F7' }], address: '0x0200F8' },
  ],
  balance: [{ from: '0x020058', to: '0x020059' }],
  options: [
    {
      id: 'ride-height',
      title: 'Ride height',
      address: '0x020020',
      bits: '2-0',
      values: { '0': 'low', '1': 'mid', '2': 'high' },
    },
    { id: 'tyre', title: 'Tyre', from: '0x020030', to: '0x020037', text: 'ascii' },
  ],
  locked: [{ address: '0x020000', length: 16, why: 'identity' }],
  volatile: [{ from: '0x0200A0', to: '0x0200A1', why: 'wheel turns' }],
};

/** Lines written by a pattern of the user's own, from line 0, with hex labels. */
const RELAY: ProfileJson = {
  format: 1,
  title: 'Relay box (test)',
  notation: { pattern: PATTERN, otherwise: 'keep' },
  lines: { from: 0, to: 11, data: 4, sum: 1 },
  lineSum: { method: 'add', bits: 8, complement: 'twos', over: ['label', 'data'] },
  totals: [{ name: 'box sum', method: 'xor', bits: 8, over: ['data'], lines: '0-10', line: 11, byte: 4 }],
  options: [
    { id: 'fan', title: 'Fan after-run', line: 5, byte: 2, number: { unit: 's' }, hazard: 'high-voltage' },
    { id: 'horn', title: 'Horn', line: 10, byte: 1, bits: '7', values: NO_YES },
  ],
  locked: [{ line: 0, bytes: '1-4', why: 'identity' }],
  volatile: [{ line: 9, byte: 4, why: 'switch counter' }],
};

const CAR = { vehicle: 'stock no. 77', vin: '0DEM0T4X5TA020418' };

const ENDINGS: Readonly<Record<FormId, string>> = {
  'dump-text': 'cfgdump',
  pattern: 'cfgdump',
  'pattern-of-two': 'cfgdump',
  'intel-hex': 'hex',
  's-record': 's28',
};

/** A module with both its dumps: `found` and `planned` say what its options are set to. */
function member(
  name: string,
  profile: ProfileJson,
  part: string,
  found: Readonly<Record<string, number>>,
  planned: Readonly<Record<string, number>>,
): FamilyMember {
  const profileFile = `${name}.dump-profile.json`;
  const ending = ENDINGS[formOf(profile)];
  const backupFile = `${name}.as-found.${ending}`;
  const headers = { profile: profileFile, ...CAR, part, software: '0311' };
  const bytes = inventedBytes(
    profile,
    [...name].reduce((seed, letter) => seed * 31 + letter.charCodeAt(0), 7),
  );
  put(bytes, profile, found);
  const backup = dumpOfBytes(profile, new Map(bytes), { ...headers, taken: '2026-03-02T09:14:00Z' }, true);
  put(bytes, profile, planned);
  return {
    name,
    form: formOf(profile),
    profile,
    profileFile,
    backupFile,
    backup,
    workFile: `${name}.${ending}`,
    work: dumpOfBytes(profile, bytes, { ...headers, backup: backupFile }),
  };
}

function put(bytes: Bytes, profile: ProfileJson, settings: Readonly<Record<string, number>>): void {
  for (const [id, raw] of Object.entries(settings)) {
    const option = profile.options?.find((one) => one.id === id);
    if (option === undefined) throw new RangeError(`the profile has no option ${id}`);
    putOption(bytes, profile, option, raw);
  }
}

const NAME_TAG = 0x52454152;

export const FAMILY = {
  body: member(
    'body',
    BODY,
    'BD-2001-07',
    {
      ...{ variant: 1, 'tow-socket': 0, 'fog-cutout': 1, immobilizer: 1, 'seat-heating': 0, 'alarm-horn': 0, lamps: 7 },
      ...{ 'name-tag': NAME_TAG, 'axle-load': 100, region: 0x010203, 'trailer-assist': 0, wiper: 3, 'rear-rack': 0 },
    },
    { 'seat-heating': 2, lamps: 0x23, 'axle-load': 0xffe0, window: 0x0203 },
  ),
  cluster: member(
    'cluster',
    CLUSTER,
    'CL-2041-07',
    { 'trailer-lamp': 0, language: 1, service: 1500, 'start-lock': 1 },
    { language: 2 },
  ),
  seat: member('seat', SEAT, 'SE-2001-01', { heat: 3, memory: 2 }, { heat: 4 }),
  control: member(
    'control',
    CONTROL,
    'CU-2001-03',
    { serial: 7, cruise: 0, 'key-count': 2, idle: 800 },
    { cruise: 1, idle: 850 },
  ),
  chassis: member('chassis', CHASSIS, 'CH-2001-02', { 'ride-height': 1, tyre: 0 }, { 'ride-height': 2 }),
  relay: member('relay', RELAY, 'RB-2001-09', { fan: 20, horn: 0 }, { horn: 1 }),
} as const;

export const FAMILY_MEMBERS: readonly FamilyMember[] = Object.values(FAMILY);

/** A retrofit that changes two modules of the family. */
export const FAMILY_RETROFIT = {
  format: 1,
  title: 'Tow socket (test)',
  changes: [
    { profile: FAMILY.body.profileFile, set: { 'tow-socket': '13-pin' } },
    { profile: FAMILY.cluster.profileFile, set: { 'trailer-lamp': 'shown' } },
  ],
};

/** All files of the family by their names: profiles, backups, dumps in work. */
export function familyFiles(members: readonly FamilyMember[] = FAMILY_MEMBERS): ReadonlyMap<string, string> {
  return new Map(
    members.flatMap(({ profileFile, profile, backupFile, backup, workFile, work }) => [
      [profileFile, `${JSON.stringify(profile, null, 2)}\n`],
      [backupFile, backup],
      [workFile, work],
    ]),
  );
}

/** A backup with a single fault. */
export interface UnsoundBackup {
  readonly fault: string;
  readonly text: string;
}

/** A backup without its seal. */
export function unsealedBackup({ backup }: FamilyMember): string {
  return backup.replace(/^.*@seal [^\n]*\n/m, '');
}

/** Backups without a seal, each with one fault that no other hides. */
export function unsoundBackups(of: FamilyMember): readonly UnsoundBackup[] {
  const sound = unsealedBackup(of);
  const edit = (fault: string, from: RegExp, to: string): UnsoundBackup => {
    const text = sound.replace(from, to);
    if (text === sound) throw new RangeError(`${of.name}: nothing to change for "${fault}"`);
    return { fault, text };
  };
  const other = edit('of another vehicle', /@vin .*/, '@vin 0DEM0T4X3TA020417');
  if (of.form === 'intel-hex' || of.form === 's-record') {
    const digit = of.form === 'intel-hex' ? /^(:[0-9A-F]{20})/m : /^(S2[0-9A-F]{20})/m;
    return [
      other,
      edit('a digit that cannot be read', digit, '$1x'),
      edit('a record with a wrong sum', /^((?::|S2).*)[0-9A-F]{2}$/m, '$100'),
      edit('a record twice', /^((?::10|S2).*\n)/m, '$1$1'),
      edit('no end', /^(?::00000001FF|S[58].*)\n(?:S8.*\n)?/m, ''),
    ];
  }
  if (of.form === 'pattern')
    return [
      other,
      edit('a line missing', /^<02>.*\n/m, ''),
      edit('a line twice', /^(<02>.*\n)/m, '$1$1'),
      edit('a line too long', /^(<02> )/m, '$100 '),
    ];
  return [
    other,
    edit('a digit that cannot be read', /^( 2: .)./m, '$1x'),
    edit('a line missing', /^ 3:.*\n/m, ''),
    edit('a line twice', /^( 3:.*\n)/m, '$1$1'),
    edit('a line too long', /^( 3:) /m, '$1 00 '),
    edit('a wrong line sum', /^( 3: .*\| )(..)/m, '$1~$2'),
    edit('a wrong file sum', /^(total: )(..)/m, '$1~$2'),
  ].map(({ fault, text }) => ({ fault, text: text.replace(/~(..)/, (_, digits: string) => otherByte(digits)) }));
}

function otherByte(digits: string): string {
  return (Number.parseInt(digits, 16) ^ 0x55).toString(16).toUpperCase().padStart(2, '0');
}
