/** Profiles without a problem that have every key there is, all parts and methods together. */

const note = ['any remark', 'in lines'];

const options = [
  {
    id: 'socket',
    title: 'Trailer socket',
    group: 'Towing',
    line: 4,
    byte: 3,
    bits: '7-4',
    order: 'big',
    values: { '0': 'none', '0x1': '7-pin', '2': '13-pin', note },
    needs: [{ option: 'fog', in: [1, '0x0'], note }],
    excludes: [{ profile: 'other.dump-profile.json', option: 'far', in: ['3'] }],
    hazard: ['lighting', 'braking'],
    confidence: 'likely',
    evidence: 'tried',
    seen: [
      { part: 'RB-2041-A', software: '0311', date: '2024-02-29', how: 'set-and-tried', by: 'Ada', vehicle: '3F', note },
      { how: 'told' },
    ],
    note,
  },
  { id: 'fog', line: 4, byte: 3, bits: 2, flags: { '0': 'on', note }, hazard: 'other', confidence: 'guess' },
  {
    id: 'speed',
    line: 5,
    bytes: '1-2',
    order: 'little',
    number: { scale: 0.5, offset: -40, unit: 'km/h', min: -40, max: 200.5, signed: false, note },
  },
  { id: 'name', line: 6, bytes: 3, text: 'ascii', personal: true },
  { id: 'keys', line: 7, byte: 1, values: { '1': 'one' }, hazard: 'security' },
  { id: 'level', line: 5, bytes: '3-4', number: { coding: 'bcd', scale: 0.1 }, special: { '65535': 'not set', note } },
  {
    id: 'mode',
    line: 4,
    bits: [
      { byte: 4, bits: '1-0', note },
      { byte: 5, bits: 7 },
    ],
    reversed: 'bits',
    values: { '0': 'a', '7': 'b' },
  },
  {
    id: 'apart',
    bits: [
      { line: 5, byte: 5, bits: '3' },
      { line: 6, byte: '0x1' },
    ],
    number: {},
  },
  { id: 'dealer', line: 6, byte: 2, text: 'bcd', pad: '0xFF', swapped: 'nibbles' },
  {
    id: 'wheel',
    line: 3,
    byte: 1,
    bits: '3-2',
    repeat: { count: 2, step: '0x1', names: ['left', 'right'], note },
    number: {},
  },
  { id: 'made', line: 6, bytes: '4-6', date: 'DDMMYY', coding: 'bcd', special: { '0': 'never' } },
  { id: 'sold', line: 7, bytes: '2-3', date: { days: 1, since: '2000-01-01', note }, order: 'little' },
];

export const LINES_PROFILE: object = {
  $schema: 'somewhere',
  format: 1,
  title: 'Rear body',
  note,
  module: '0x06F4',
  appliesTo: { part: ['RB-20??-*', 'RC*'], software: ['03*'], note },
  notation: { pattern: '{label}: {data} ; {sum}', otherwise: 'report', headings: ['Line 01 02 03'], note },
  lines: {
    from: 1,
    to: 9,
    step: '0x1',
    data: { '1': 6, '0x2': 6, '3': 6, '4': 6, '5': 6, '6': 6, '7': 6, '8': 6, '9': 6, note },
    sum: 1,
    note,
  },
  lineSum: {
    method: 'add',
    bits: 8,
    unit: 1,
    complement: 'twos',
    start: '0x12',
    order: 'big',
    over: ['module', 'label', 'length', 'data'],
    labelBytes: 2,
    data: '1-2,4-end-1',
    sumAt: 'back',
    note,
  },
  totals: [
    {
      name: 'file sum',
      label: 'total',
      method: 'add',
      bits: 16,
      unit: 2,
      order: 'little',
      over: ['data', 'sums'],
      lines: '1-9',
      keep: true,
      confidence: 'likely',
      note,
    },
    { name: 'in line 8', line: 8, byte: 1, method: 'xor', bits: 8, start: 3, over: ['data'], lines: 3 },
    { label: 20, method: 'fletcher', bits: 32 },
    { label: '0x15', method: 'add-end-around', bits: '0x10' },
    { label: 'a', method: 'adler', pattern: 'Sum = {data} ({skip})' },
    { label: 'b', method: 'crc', model: 'CRC-16/ARC' },
    { label: 'c', method: 'crc', width: 16, poly: '0x1021', init: 7, refin: true, refout: false, xorout: '0xFFFF' },
  ],
  balance: [{ line: 9, byte: 6 }, { line: 8, bytes: '3-4', note }, { line: 3 }],
  options,
  locked: [{ line: 1, bytes: '1-6', why: 'identity', personal: true, note }, { line: 2 }],
  volatile: [
    { line: 9, byte: 1, why: 'counter', personal: false },
    { line: 9, bytes: '2-3' },
  ],
};

/** Lines whose labels have several numbers, in stretches of their own lengths. */
export const SEVERAL_PROFILE: object = {
  format: 1,
  module: 7,
  notation: { pattern: 'B{label}/{label:hex}: {data}' },
  lines: [
    { from: '2-1', to: '2-5', data: 5, sum: 1, note },
    { from: '3.0x1', to: '3/3', data: { '3-1': 3, '3/0x2': 4, '3-3': 3, note }, sum: '0x1' },
    { from: '4-1', to: '4-2', data: 4 },
  ],
  lineSum: {
    method: 'crc',
    model: 'CRC-8/SMBUS',
    over: ['label.2', 'module', 'label.1', 'length', 'data'],
    labelBytes: 2,
    note,
  },
  totals: [
    { name: 'file sum', label: '9-9', method: 'add', bits: 16, over: ['data', 'sums'], lines: '2-2..3-3', keep: true },
    { name: 'in line 4-1', line: '4-1', byte: 1, method: 'xor', bits: 8, lines: '2-1' },
    {
      name: 'in line 4-2',
      line: '4-2',
      byte: 1,
      method: 'xor',
      bits: 8,
      over: [
        { bytes: '0A' },
        { lines: '2-2..2-4', except: ['2-3', { line: '2-4', bytes: '1-2', note }], note },
        { line: '3-1', bytes: '2-3', note },
        'sums',
      ],
    },
  ],
  balance: [{ line: '4-2', byte: 2 }, { line: '2-5' }],
  options: [
    { id: 'a', line: '3-1', byte: 3, bits: '3', values: { '0': 'no', '1': 'yes' } },
    { id: 'b', line: '2.0x2', bytes: '1-2', number: {} },
  ],
  locked: [
    { line: '2-1', why: 'identity', note },
    { line: '3-2', bytes: '2-4' },
  ],
  volatile: [{ line: '4/2', byte: 1 }],
  copies: [{ place: { line: '4/1', byte: 3, length: 2 }, at: ['4/2'] }],
};

export const IMAGE_PROFILE: object = {
  format: '0x1',
  notation: 'hex-view',
  word: { bytes: 2, order: 'little', note },
  addresses: { from: '0x100', to: '0x1FF', note },
  absent: [
    { from: '0x180', to: '0x18F', note },
    { address: '0x190', length: 8 },
    { address: 416, bytes: '0x4' },
  ],
  totals: [
    {
      method: 'crc',
      model: 'crc-8/smbus',
      address: '0x1F0',
      over: [
        { bytes: '01 F4', note },
        {
          from: '0x100',
          to: '0x10F',
          except: [
            { address: '0x104', length: 2, note },
            { from: 268, to: 269 },
          ],
          note,
        },
        { 'address-of': { from: 288, to: 290 }, bytes: '0x2', order: 'little', note },
        { from: 288, to: 290 },
        { 'length-of': { address: 288, length: 3 }, bytes: 1 },
      ],
    },
    { method: 'add', bits: 32, address: 500, over: ['data'] },
  ],
  balance: [
    { address: '0x150', length: 4 },
    { from: '0x158', to: '0x15B', note },
    { address: '0x15C' },
    { slot: 'record', offset: 10 },
  ],
  options: [
    { id: 'a', address: '0x110', bits: '3', values: { '0': 'no', '1': 'yes' }, needs: [{ option: 'b', in: [1] }] },
    { id: 'b', address: '0x111', length: 2, number: {} },
    { id: 'c', from: '0x114', to: '0x117', text: 'ascii' },
    { id: 'd', address: '0x118', bytes: 2, flags: {} },
    {
      id: 'curve',
      address: '0x1A8',
      number: { scale: 0.5, unit: 'ms' },
      repeat: { count: 3, step: 1, axis: { name: 'Engine speed', unit: 'rpm', at: [0, 500.5, '1000'], note }, note },
    },
    { id: 'e', slot: 'record', offset: 2, bits: '3', values: { '0': 'no' } },
    { id: 'f', slot: 'record', offset: '0x3', length: 2, number: {}, repeat: { count: 2, step: 2 } },
    {
      id: 'g',
      bits: [
        { slot: 'record', offset: 2, bits: '7-6', note },
        { address: '0x11A', bits: 0 },
      ],
      values: { '7': 'all' },
    },
  ],
  locked: [{ from: '0x120', to: '0x13F', why: 'boot' }, { address: '0x140' }, { slot: 'record', offset: 7, note }],
  volatile: [
    { address: '0x141', length: '0x2' },
    { slot: 'record', offset: 8, bytes: 2, why: 'counter' },
  ],
  slots: [
    {
      name: 'record',
      at: ['0x160', 0x170],
      length: '0x10',
      sequence: { offset: 0, bytes: 2, order: 'little', note },
      check: { method: 'crc', model: 'CRC-16/ARC', order: 'little', offset: '0xE', note },
      note,
    },
    {
      name: 'other',
      at: [0x1b0, 0x1b4],
      length: 4,
      sequence: { offset: 0 },
      check: { method: 'add', bits: 8, offset: 3 },
    },
  ],
  copies: [
    {
      name: 'settings',
      place: { address: '0x1C0', length: 8, note },
      at: ['0x1C8', 464, { from: '0x1D8', to: '0x1DF' }],
      as: 'inverted',
      agree: 'majority',
      note,
    },
    { place: { address: '0x1E0', bytes: 2 }, at: ['0x1E2'], as: 'same', agree: 'all' },
  ],
};
