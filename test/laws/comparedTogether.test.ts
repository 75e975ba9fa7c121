import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { hex, hexBytes } from '../../shared-core/src/base/index.js';
import { compareDumps, compareMany } from '../../shared-core/src/compare/index.js';
import { convert } from '../../shared-core/src/convert/index.js';
import type { FormId } from '../../shared-core/src/format/index.js';
import { verifyReadBack } from '../../shared-core/src/jobs/index.js';
import { bindText, type Dump } from '../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../shared-core/src/profile/index.js';
import { codedFiles, createWorkspace, loadTogether, PLAIN_VIEW } from '../../shared-core/src/workspace/index.js';
import { memoryHost, utf8 } from '../support/memoryHost.js';
import { times } from '../support/times.js';

type Bytes = ReadonlyMap<number, number>;

const FORMS_OF = { 'intel-hex': 'hex', 's-record': 's19', 'ti-txt': 'titxt', 'hex-view': 'xxd' } as const;

/** Bytes at addresses, over several 64 KiB or close together. */
const contents: fc.Arbitrary<Bytes> = fc
  .array(
    fc.tuple(
      fc.constantFrom(0, 0x10, 0x2c, 0x30, 0x10000, 0x1fff8),
      fc.uint8Array({ minLength: 1, maxLength: 90, size: 'max' }),
    ),
    { minLength: 1, maxLength: 4 },
  )
  .map((runs) => new Map(runs.flatMap(([from, bytes]) => [...bytes].map((byte, i) => [from + i, byte & 3] as const))));

/** What is done to the bytes of another dump: some are changed, some left out, some added. */
const changes = fc.array(fc.tuple(fc.constantFrom('to', 'out', 'in'), fc.nat(), fc.nat(255)), { maxLength: 4 });

function changed(bytes: Bytes, done: readonly (readonly [string, number, number])[]): Bytes {
  const result = new Map(bytes);
  for (const [what, place, value] of done) {
    const at = [...bytes.keys()][place % bytes.size] ?? 0;
    if (what === 'out' && result.size > 1) result.delete(at);
    else result.set(what === 'in' ? place % 0x200 : at, value);
  }
  return result;
}

function textOf(bytes: Bytes, form: FormId, width: number): string | undefined {
  const addresses = [...bytes.keys()].sort((a, b) => a - b);
  const text = addresses.map((at) => `0x${hex(at, 8)}: ${hexBytes([bytes.get(at) as number])}\n`).join('');
  const converted = convert(bindText('a.cfgdump', text, EMPTY_PROFILE), form, width);
  return converted.ok ? converted.value.text : undefined;
}

const place = fc.nat(0x60).map((address) => `0x${address.toString(16)}`);
const range = fc.tuple(fc.nat(0x20), fc.nat(0x40)).map(([from, more]) => ({ from, to: from + more }));

const profiles = fc
  .record(
    {
      totals: fc.array(
        fc.record({
          name: fc.constantFrom('a', 'b'),
          method: fc.constant('crc'),
          model: fc.constantFrom('CRC-16/ARC', 'CRC-32/ISO-HDLC'),
          over: fc.oneof(fc.array(range, { minLength: 1, maxLength: 2 }), fc.constant(['data'])),
          address: place,
          keep: fc.boolean(),
        }),
        { maxLength: 2 },
      ),
      options: fc.array(
        fc.record({
          id: fc.constantFrom('x', 'y'),
          title: fc.constant('X'),
          address: place,
          values: fc.constant({ 0: 'no', 1: 'yes' }),
        }),
        { maxLength: 2 },
      ),
      volatile: fc.array(fc.record({ address: place }), { maxLength: 1 }),
      locked: fc.array(fc.record({ address: place, why: fc.constant('identity') }), { maxLength: 1 }),
      balance: fc.array(fc.record({ address: place }), { maxLength: 1 }),
      addresses: fc.constant({ from: 0, to: 0x20000 }),
    },
    { requiredKeys: [] },
  )
  .map((json) => JSON.stringify({ format: 1, ...json }));

/** The same dumps loaded to be compared, and loaded with all their rows; and how many rows the first way has made. */
async function bothWays(
  files: Readonly<Record<string, string | Uint8Array>>,
  profile: string | undefined,
  wanted: 'differences' | 'causes',
) {
  const named = Object.entries(files).map(([name, file]) => [`file:///car/${name}`, file] as const);
  const given = 'file:///car/p.dump-profile.json';
  const host = memoryHost(new Map([...named, ...(profile === undefined ? [] : [[given, profile] as const])]));
  const coded = codedFiles(host, utf8, {
    view: PLAIN_VIEW,
    saidForm: (uri) => (uri.endsWith('.bin') ? 'binary' : undefined),
  });
  const workspace = createWorkspace({ ...host, readsRawBytes: true, open: coded.open });
  const by = profile === undefined ? undefined : given;
  const asked = named.map(([file]) => ({ file, name: file, profile: by }));
  const short = await loadTogether(workspace.open, asked, wanted);
  const whole: Dump[] = [];
  for (const { file, name } of asked) {
    const loaded = await workspace.load(file, { name, profile: by });
    if (!loaded.ok) {
      assert.deepEqual(short, loaded);
      break;
    }
    whole.push(loaded.value.dump);
  }
  assert.equal(host.left(), 0);
  if (!short.ok) return undefined;
  return { short: short.value.map(({ dump }) => dump), whole };
}

const atHand = ({ rows }: Dump) => rows.filter(({ kind }) => kind === 'record').length;

describe('laws of dumps that are loaded to be compared', () => {
  it('images of any form and width differ as they do with all their rows', async () => {
    const forms = fc.constantFrom(...(Object.keys(FORMS_OF) as (keyof typeof FORMS_OF)[]));
    const widths = fc.constantFrom(16, 16, 8, 5, 32);
    const profile = fc.option(profiles, { nil: undefined });
    let [shorter, compared] = [0, 0];
    await fc.assert(
      fc.asyncProperty(
        contents,
        changes,
        changes,
        forms,
        widths,
        widths,
        profile,
        async (bytes, some, more, form, a, b, by) => {
          const other = some.length % 2 === 0 ? form : 'intel-hex';
          const texts = [
            textOf(bytes, form, a),
            textOf(changed(bytes, some), other, b),
            textOf(changed(bytes, more), form, b),
          ];
          const [first, second, third] = texts;
          if (first === undefined || second === undefined || third === undefined) return;
          const files = {
            [`a.${FORMS_OF[form]}`]: first,
            [`b.${FORMS_OF[other]}`]: second,
            [`c.${FORMS_OF[form]}`]: third,
          };
          const both = await bothWays(files, by, 'differences');
          if (both === undefined) return;
          const [short, whole] = [both.short, both.whole] as [[Dump, Dump, Dump], [Dump, Dump, Dump]];
          assert.deepEqual(compareDumps(short[0], short[1]), compareDumps(whole[0], whole[1]));
          assert.deepEqual(compareMany(short[0], short.slice(1)), compareMany(whole[0], whole.slice(1)));
          compared++;
          if (atHand(short[0]) < atHand(whole[0])) shorter++;
        },
      ),
      times(100),
    );
    assert.ok(shorter > compared / 3 && compared > 30, `${shorter} of ${compared}`);
  });

  it('raw bytes do as well, with a profile and without', async () => {
    let shorter = 0;
    await fc.assert(
      fc.asyncProperty(
        fc.uint8Array({ minLength: 1, maxLength: 200, size: 'max' }),
        changes,
        fc.integer({ min: -20, max: 20 }),
        fc.option(profiles, { nil: undefined }),
        async (bytes, done, longer, by) => {
          const other = new Uint8Array(Math.max(1, bytes.length + (longer % 3 === 0 ? longer : 0)));
          other.set(bytes.subarray(0, other.length));
          for (const [, at, value] of done) other[at % other.length] = value;
          const both = await bothWays({ 'a.bin': bytes, 'b.bin': other }, by, 'differences');
          if (both === undefined) return;
          const [short, whole] = [both.short, both.whole] as [[Dump, Dump], [Dump, Dump]];
          assert.deepEqual(compareDumps(...short), compareDumps(...whole));
          if (atHand(short[0]) < atHand(whole[0])) shorter++;
        },
      ),
      times(150),
    );
    assert.ok(shorter > 35, `${shorter}`);
  });

  it('what was read back is told as it is with all rows', async () => {
    let matching = 0;
    await fc.assert(
      fc.asyncProperty(contents, changes, fc.option(profiles, { nil: undefined }), async (bytes, done, by) => {
        const [plan, back] = [textOf(bytes, 'intel-hex', 16), textOf(changed(bytes, done), 's-record', 16)];
        if (plan === undefined || back === undefined) return;
        const both = await bothWays({ 'a.hex': plan, 'b.s19': back }, by, 'causes');
        if (both === undefined) return;
        const [short, whole] = [both.short, both.whole] as [[Dump, Dump], [Dump, Dump]];
        assert.deepEqual(verifyReadBack(...short, undefined), verifyReadBack(...whole, undefined));
        if (atHand(short[0]) < atHand(whole[0])) matching++;
      }),
      times(80),
    );
    assert.ok(matching > 5, `${matching}`);
  });
});
