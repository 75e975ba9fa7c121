import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { Ajv } from 'ajv';
import fc from 'fast-check';
import { parse } from 'jsonc-parser';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';
import { LINE_SUM_PARTS } from '../../../shared-core/src/profile/readLineSum.js';
import { withTables } from '../../../shared-core/src/profile/schemaTables.js';
import { basesOf } from '../../support/chains.js';
import { demoFile } from '../../support/demo.js';
import { profileLike } from '../../support/profileLike.js';
import { IMAGE_PROFILE, LINES_PROFILE, SEVERAL_PROFILE } from '../../support/richProfiles.js';
import { WRONG_PROFILES } from './wrongProfiles.js';

/** The keys of a schema that are looked at here. */
interface Schema {
  readonly [key: string]: unknown;
  readonly description?: string;
  readonly properties?: Readonly<Record<string, Schema | false>>;
  readonly $ref?: string;
  readonly items?: Schema;
  readonly enum?: readonly unknown[];
  readonly allOf?: readonly Schema[];
  readonly definitions?: Readonly<Record<string, Schema>>;
  /** Of a profile that extends others, and of one that extends none. */
  readonly then?: Schema;
  readonly else?: Schema;
}

const schema = JSON.parse(readFileSync('syntaxes/dump-profile.schema.json', 'utf8')) as Schema;
/** What it says of a profile that extends none. */
const whole = schema.else ?? {};
const accepts = new Ajv({ strict: false }).compile(schema);

const complaints = (text: string) => readProfile(text).problems.map(({ message }) => say(message));

/** Wrong in their form alone, so that the editor can mark them while they are written; the rest takes sums of its own. */
const SHAPES =
  /is missing|probably meant|Unknown key|One of|do not go together|says nothing|wanted here|not both|written "/;
/** … but for these: whether a number is in range, what has a name, and what stands twice is for the reader alone. */
const READER_ONLY =
  /in no catalogue|Bytes are written|No option|from \d+ to \d+|at most|count for line|only .lines. can tell|Lines are written|given twice/;

describe('the schema of profiles', () => {
  it('accepts the profiles of the demo', () => {
    for (const name of ['rear-body', 'cluster']) {
      assert.ok(accepts(parse(demoFile(`${name}.dump-profile.json`))), JSON.stringify(accepts.errors));
    }
  });

  it('accepts profiles that have every part there is', () => {
    for (const profile of [LINES_PROFILE, SEVERAL_PROFILE, IMAGE_PROFILE])
      assert.ok(accepts(profile), JSON.stringify(accepts.errors));
  });

  it('refuses every profile whose form the reader finds wrong', () => {
    const marked = Object.entries(WRONG_PROFILES).flatMap(([part, profiles]) =>
      part === 'texts that are no profile' ? [] : profiles.map(([text]) => text.replace(/[«»]/g, '')),
    );
    const formWrong = marked.filter((text) =>
      complaints(text).some((words) => SHAPES.test(words) && !READER_ONLY.test(words)),
    );
    assert.ok(formWrong.length > 20);
    assert.deepEqual(
      formWrong.filter((text) => accepts(JSON.parse(text))),
      [],
    );
  });

  it('is never stricter than the reader', () => {
    fc.assert(
      fc.property(profileLike, (profile) => {
        const found = complaints(JSON.stringify(profile));
        assert.ok(found.length > 0 || accepts(profile), JSON.stringify([profile, accepts.errors]));
      }),
      { numRuns: 2000 },
    );
  });

  it('takes any part of a profile over another, and null where something is taken out', () => {
    const over = { format: 1, extends: 'b.dump-profile.json' };
    const base = basesOf({ 'b.dump-profile.json': JSON.stringify(LINES_PROFILE) });
    const said: string[] = [];
    for (const key of Object.keys(LINES_PROFILE).filter((one) => one !== 'format')) {
      if (!accepts({ ...over, [key]: null })) said.push(key);
    }
    for (const part of [
      { options: [{ id: 'socket', title: 'Socket', values: { 2: null, 3: 'other' }, bits: null }] },
      { options: [{ id: 'socket', entry: null }], locked: [{ line: 1, bytes: '1-2', entry: null }] },
      { lines: { to: 30 }, lineSum: { bits: 16 }, appliesTo: { part: ['RB-*'] }, notation: { otherwise: 'keep' } },
      { extends: ['a', 'b'], options: [{ id: 'x', number: { scale: 2 }, needs: null }] },
    ])
      if (!accepts({ ...over, ...part })) said.push(JSON.stringify([part, accepts.errors]));
    assert.deepEqual(said, []);
    for (const wrong of [{ lockd: [] }, { options: [{ id: 'x', entry: 1 }] }, { extends: [] }, { extends: 5 }]) {
      assert.equal(accepts({ ...over, ...wrong }), false, JSON.stringify(wrong));
      assert.ok(readProfile(JSON.stringify({ ...over, ...wrong }), base).problems.length > 0);
    }
  });

  it('is never stricter than the reader of a profile that extends another', () => {
    const base = basesOf({ b: JSON.stringify(LINES_PROFILE) });
    fc.assert(
      fc.property(profileLike, (profile) => {
        const text = JSON.stringify({ ...Object(profile), extends: 'b' });
        const isSound = readProfile(text, base).problems.length === 0;
        assert.ok(!isSound || accepts(JSON.parse(text)), JSON.stringify([profile, accepts.errors]));
      }),
      { numRuns: 100 },
    );
  });

  it('knows the keys that the reader knows', () => {
    const { stretch = {} } = schema.definitions ?? {};
    const objects: readonly (readonly [Schema, (keys: object) => object])[] = [
      [whole, (keys) => keys],
      [stretch, (keys) => ({ lines: keys })],
      [stretch, (keys) => ({ lines: [keys] })],
      ...['addresses', 'lineSum', 'appliesTo'].map((key) => [at(key), (keys: object) => ({ [key]: keys })] as const),
      ...['totals', 'balance', 'options', 'locked', 'volatile', 'absent'].map(
        (key) => [at(key, 'items'), (keys: object) => ({ addresses: { from: 0, to: 9 }, [key]: [keys] })] as const,
      ),
      [at('options', 'items', 'number'), (number) => ({ options: [{ ...OPTION, number }] })],
      [at('options', 'items', 'needs', 'items'), (needs) => ({ options: [{ ...OPTION, values: {}, needs: [needs] }] })],
    ];
    for (const [found, profile] of objects) {
      const keys = Object.keys(found.properties ?? {});
      assert.ok(keys.length > 0);
      const text = JSON.stringify(profile(Object.fromEntries(keys.map((key) => [key, null]))));
      assert.deepEqual(
        complaints(text).filter((words) => words.includes('Unknown key')),
        [],
      );
    }
  });

  it('offers the parts that a line sum may cover', () => {
    const items = at('lineSum', 'over', 'items');
    assert.deepEqual(items.enum, LINE_SUM_PARTS);
  });

  it('describes every key in words', () => {
    const bare: string[] = [];
    (function walk(value: unknown, path: string): void {
      if (typeof value !== 'object' || value === null) return;
      const { properties } = value as Schema;
      for (const [key, member] of Object.entries(properties ?? {})) {
        if (member === false || /dependencies|sum\.rules|\/(?:place|region|addressed)\b/.test(path)) continue;
        if (!(member.description || resolved(member).description)) bare.push(`${path}/${key}`);
      }
      for (const [key, member] of Object.entries(value)) walk(member, `${path}/${key}`);
    })(schema, '');
    assert.deepEqual(bare, []);
  });

  it('says of sums what the methods say: "npm run schema" makes it', () => {
    assert.deepEqual(withTables(schema), schema);
  });
});

const OPTION = { id: 'a', line: 1, byte: 1 };

/** The schema of what is found along these keys; "items" stands for any item of a list. */
function at(...path: readonly string[]): Schema {
  return path.reduce<Schema>((from, key) => {
    const next = key === 'items' ? from.items : from.properties?.[key];
    assert.ok(next, path.join('/'));
    return resolved(next);
  }, whole);
}

/** The schema that a reference means, alone or as the one part of `allOf`. */
function resolved(schemaAt: Schema): Schema {
  const to = schemaAt.$ref ?? (schemaAt.properties === undefined ? schemaAt.allOf?.[0]?.$ref : undefined);
  return to === undefined ? schemaAt : resolved(schema.definitions?.[to.replace('#/definitions/', '')] as Schema);
}
