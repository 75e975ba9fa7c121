// Three texts of one profile as one: each part by what it means, and what two people have decided differently by nobody.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/phrase.js';
import { mergeProfiles } from '../../../shared-core/src/profile/mergeProfiles.js';

type Json = Readonly<Record<string, unknown>>;

const LINES = { from: 1, to: 8, data: 8 };
const OPTION = { id: 'fog', title: 'Fog light', line: 1, byte: 1, values: { 0: 'no', 1: 'yes' } };
const BASE: Json = { format: 1, lines: LINES, options: [OPTION] };
const textOf = (profile: Json) => JSON.stringify(profile, null, 2);

/** The merged profile, or what is to be decided, each as a sentence. */
function merge(mine: Json, theirs: Json, base: Json = BASE): unknown {
  const merged = mergeProfiles({
    mine: { name: 'mine', text: textOf(mine) },
    theirs: { name: 'theirs', text: textOf(theirs) },
    base: { name: 'base', text: textOf(base) },
  });
  assert.ok(merged.ok, merged.ok ? '' : say(merged.why));
  const { text, conflicts } = merged.value;
  assert.equal(text === undefined, conflicts.length > 0);
  return text === undefined ? conflicts.map((said) => say(said)) : JSON.parse(text);
}

const withOption = (more: Json, base: Json = BASE): Json => ({ ...base, options: [{ ...OPTION, ...more }] });

describe('profiles that are merged', () => {
  for (const list of ['balance', 'locked', 'volatile'] as const)
    describe(`places of "${list}"`, () => {
      const [six, five] = [
        { line: 6, byte: 6 },
        { line: 6, byte: 5 },
      ];
      const base = { ...BASE, [list]: [six, five] };
      const of = (...places: readonly Json[]) => ({ ...BASE, [list]: places });

      it('are the same in whatever keys they are written', () => {
        const respelled = of({ line: 6, bytes: '6' }, five);
        assert.deepEqual(merge(base, respelled, base), respelled);
        assert.deepEqual(
          merge(of(six, five, { line: 7, byte: 1 }), respelled, base),
          of({ line: 6, bytes: '6' }, five, { line: 7, byte: 1 }),
        );
      });

      it('are decided by nobody where one takes out what the other writes otherwise, makes wider or narrower', () => {
        for (const theirs of [
          { line: 6, bytes: '6' },
          { line: 6 },
          { line: 6, bytes: '6-7' },
          { line: 6, bytes: '4-6' },
        ])
          for (const other of [of(theirs), of(theirs, five)]) {
            for (const merged of [merge(of(five), other, base), merge(other, of(five), base)])
              assert.ok(Array.isArray(merged) && merged.length > 0, JSON.stringify([theirs, merged]));
          }
        assert.deepEqual(merge(of(five), of({ line: 6, bytes: '6-7' }, five), base), [
          `${list} (line 6, byte 6) and ${list} (line 6, bytes "6-7") share bytes, and each has changed one of them.`,
        ]);
      });

      it('of other bytes go on as each has them', () => {
        assert.deepEqual(merge(of(five), of(six, { line: 6, byte: 4 }), base), of({ line: 6, byte: 4 }));
        assert.deepEqual(merge(of(five, { line: 7 }), of(six, five), base), of(five, { line: 7 }));
      });
    });

  it('take a key that one has changed, added or taken out, from whichever side', () => {
    const base = { ...BASE, title: 'Body', module: '0x10' };
    for (const changed of [{ ...base, title: 'Body 2' }, { ...base, note: 'new' }, BASE] as readonly Json[]) {
      assert.deepEqual(merge(changed, base, base), changed);
      assert.deepEqual(merge(base, changed, base), changed);
      assert.deepEqual(merge(changed, changed, base), changed);
    }
  });

  it('take what both have changed in different keys, and say of the same key what each has made of it', () => {
    const base = { ...BASE, title: 'Body', lines: LINES };
    assert.deepEqual(merge({ ...base, title: 'Mine' }, { ...base, lines: { ...LINES, to: 5 } }, base), {
      ...{ ...base, title: 'Mine', lines: { ...LINES, to: 5 } },
    });
    const [part, software] = [{ part: ['RB-1'] }, { software: ['03*'] }];
    const known = { ...base, appliesTo: { part: ['RB-?'] } };
    assert.deepEqual(
      merge({ ...known, appliesTo: part }, { ...known, appliesTo: { part: ['RB-?'], ...software } }, known),
      {
        ...known,
        appliesTo: { ...part, ...software },
      },
    );
    assert.deepEqual(merge({ ...base, title: 'Mine' }, { ...base, title: 'Theirs' }, base), [
      'title: both have changed it. Mine: "Mine"; theirs: "Theirs".',
    ]);
    const { title: _, ...without } = base;
    assert.deepEqual(merge(without, { ...base, title: 'Theirs' }, base), [
      'title: both have changed it. Mine: nothing; theirs: "Theirs".',
    ]);
  });

  it('are not merged where one has made a list of a text: what both have made of it is said', () => {
    const hazard = (...hazards: readonly string[]) => withOption({ hazard: hazards });
    const [list, text] = [hazard('lighting', 'braking'), withOption({ hazard: 'security' })];
    assert.match(
      String(merge(list, text)),
      /hazard: both have changed it\. Mine: \["lighting", "braking"\]; theirs: "security"/,
    );
  });

  it('never make a rule of two changes to one: what each has made of it is said', () => {
    const lines = { ...LINES, sum: 2 };
    const lineSum = { method: 'add', bits: 16, over: ['data'] };
    const total = { name: 'file sum', label: 'total', method: 'add', bits: 16, over: ['data'] };
    const number = { scale: 0.5, offset: 1 };
    const option = { id: 'ratio', title: 'Ratio', line: 1, byte: 1, number };
    const base: Json = {
      ...BASE,
      lines,
      lineSum,
      totals: [total],
      locked: [{ line: 2, byte: 1 }],
      options: [option],
    };
    const cases: readonly (readonly [string, Json, Json])[] = [
      ['lineSum', { lineSum: { ...lineSum, start: 5 } }, { lineSum: { ...lineSum, method: 'xor' } }],
      ['lineSum', { lineSum: { ...lineSum, order: 'big' } }, { lineSum: { ...lineSum, order: 'little' } }],
      ['lines', { lines: { ...lines, to: 5 } }, { lines: { ...lines, data: 9 } }],
      ['totals', { totals: [{ ...total, keep: true }] }, { totals: [{ ...total, lines: '1-3' }] }],
      [
        'options (id "ratio") number',
        { options: [{ ...option, number: { ...number, scale: 2 } }] },
        { options: [{ ...option, number: { ...number, offset: 0 } }] },
      ],
    ];
    for (const [name, mine, theirs] of cases) {
      const said = merge({ ...base, ...mine }, { ...base, ...theirs }, base);
      assert.ok(Array.isArray(said) && said.length === 1, name);
      assert.ok(String(said[0]).startsWith(name), String(said[0]));
      assert.match(String(said[0]), /: both have changed it\. Mine: \{.*\}; theirs: \{.*\}\.$/);
    }
  });

  it('take remarks on a rule that the other has changed', () => {
    const lineSum = { method: 'add', bits: 16, over: ['data'] };
    const base: Json = { ...BASE, lines: { ...LINES, sum: 2 }, lineSum };
    assert.deepEqual(
      merge({ ...base, lineSum: { ...lineSum, note: 'seen' } }, { ...base, lineSum: { ...lineSum, start: 5 } }, base),
      { ...base, lineSum: { ...lineSum, note: 'seen', start: 5 } },
    );
  });

  it('do not take how sure a rule or an option is where the other has changed what it was said of', () => {
    const total = { name: 'file sum', label: 'total', method: 'add', bits: 8, over: ['data'], confidence: 'guess' };
    const base: Json = { ...BASE, totals: [total] };
    const sure = { confidence: 'confirmed' };
    const cases: readonly (readonly [string, Json, Json])[] = [
      ['totals', { totals: [{ ...total, ...sure }] }, { totals: [{ ...total, method: 'xor' }] }],
      ['options', { options: [{ ...OPTION, ...sure, evidence: 'two cars' }] }, { options: [{ ...OPTION, byte: 4 }] }],
      [
        'options',
        { options: [{ ...OPTION, seen: [{ part: 'A-1', how: 'set-and-tried' }] }] },
        { options: [{ ...OPTION, values: { 0: 'yes', 1: 'no' } }] },
      ],
    ];
    for (const [name, mine, theirs] of cases) {
      for (const [one, other] of [
        [mine, theirs],
        [theirs, mine],
      ]) {
        const said = merge({ ...base, ...one }, { ...base, ...other }, base);
        assert.ok(Array.isArray(said) && said.length === 1, name);
        assert.match(String(said[0]), new RegExp(`^${name} .*: one has changed it and the other how sure it is`));
      }
    }
    assert.deepEqual(
      merge({ ...base, totals: [{ ...total, ...sure }] }, { ...base, totals: [{ ...total, note: 'End' }] }, base),
      { ...base, totals: [{ ...total, ...sure, note: 'End' }] },
    );
  });

  it('do not make a rule of the lines of one part by each', () => {
    const lineSum = { method: 'add', bits: 8, over: ['module', 'label', 'data'] };
    const lines = { ...LINES, sum: 1 };
    const base: Json = { ...BASE, lines, module: '0x1111', lineSum, notation: { pattern: '{label}: {data}' } };
    const parts: readonly (Json & { readonly lineSum?: Json })[] = [
      { module: '0x1116' },
      { lineSum: { ...lineSum, start: 5 } },
      { lines: { ...lines, to: 5 } },
      { notation: { pattern: '{label:hex}: {data}' } },
    ];
    for (const mine of parts) {
      for (const theirs of parts) {
        const merged = merge({ ...base, ...mine }, { ...base, ...theirs }, base);
        if (mine === theirs) assert.deepEqual(merged, { ...base, ...mine });
        else assert.match(String(merged), /^The rule of the lines: one has changed ".*" and the other ".*", which/);
      }
      assert.deepEqual(merge({ ...base, ...mine }, { ...base, lineSum: { ...lineSum, note: 'seen' } }, base), {
        ...base,
        ...mine,
        lineSum: { ...lineSum, ...mine.lineSum, note: 'seen' },
      });
    }
  });

  it('do not take a need as it was said of other values', () => {
    const other = { id: 'lamp', title: 'Lamp', line: 2, byte: 2, values: { 0: 'no', 1: 'yes' } };
    const needs = (value: number) => ({ ...other, needs: [{ option: 'fog', in: [value] }] });
    const base: Json = { ...BASE, options: [OPTION, needs(1)] };
    const turned = { ...OPTION, values: { 0: 'yes', 1: 'no' } };
    for (const there of [
      [OPTION, needs(0)],
      [OPTION, { ...needs(1), excludes: [{ option: 'fog', in: [0] }] }],
    ]) {
      const [mine, theirs] = [
        { ...base, options: [turned, needs(1)] },
        { ...base, options: there },
      ];
      assert.match(String(merge(mine, theirs, base)), /^"fog": one has changed what its values are, .* "lamp" says/);
      assert.match(String(merge(theirs, mine, base)), /^"fog": one has changed what its values are, .* "lamp" says/);
    }
    const renamed = { ...base, options: [OPTION, { ...needs(1), title: 'Lamps' }] };
    assert.deepEqual(merge({ ...base, options: [turned, needs(1)] }, renamed, base), {
      ...base,
      options: [turned, { ...needs(1), title: 'Lamps' }],
    });
  });

  it('are the same whatever the order of keys', () => {
    const turned = { ...OPTION, values: { 1: 'yes', 0: 'no' } };
    const mine = { ...BASE, options: [Object.fromEntries(Object.entries(turned).reverse())] };
    assert.deepEqual(merge(mine, { ...BASE, title: 'Body' }), { ...mine, title: 'Body' });
  });

  for (const [list, one, other] of [
    ['options', { ...OPTION, id: 'a', title: 'A', byte: 2 }, { ...OPTION, id: 'b', title: 'B', byte: 3 }],
    ['locked', { line: 2 }, { line: 3 }],
    ['volatile', { line: 2, byte: 1 }, { line: 2, byte: 2 }],
    ['balance', { line: 2, bytes: '1-2' }, { line: 2, bytes: '3-4' }],
    [
      'totals',
      { name: 'a', label: 'a', method: 'add', bits: 8, over: ['data'] },
      { name: 'b', label: 'b', method: 'add', bits: 8, over: ['data'] },
    ],
    [
      'copies',
      { name: 'a', place: { line: 1, byte: 3 }, at: [{ line: 2, byte: 3 }] },
      { name: 'b', place: { line: 1, byte: 4 }, at: [{ line: 2, byte: 4 }] },
    ],
    ['samples', { dump: 'a.cfgdump' }, { dump: 'b.cfgdump' }],
  ] as readonly (readonly [string, Json, Json])[])
    it(`take entries of "${list}" that each has added, and those alone go that one has taken out`, () => {
      const base = { ...BASE, [list]: [] };
      const both = merge({ ...base, [list]: [one] }, { ...base, [list]: [other] }, base) as Json;
      assert.deepEqual(both[list], [one, other], JSON.stringify(both));
      const full = { ...BASE, [list]: [one, other] };
      assert.deepEqual((merge({ ...full, [list]: [one] }, full, full) as Json)[list], [one]);
      assert.deepEqual((merge(full, { ...full, [list]: [other] }, full) as Json)[list], [other]);
      const noted = { ...one, note: 'x' };
      assert.deepEqual((merge({ ...full, [list]: [noted, other] }, { ...full, [list]: [one] }, full) as Json)[list], [
        noted,
      ]);
    });

  it('leave a list to the person in which two entries are alike, where both have changed it', () => {
    const twice = { ...BASE, locked: [{ line: 2 }, { line: 2 }] };
    const conflicts = merge({ ...twice, locked: [{ line: 2 }] }, { ...twice, locked: [{ line: 3 }] }, twice);
    assert.match(String(conflicts), /^locked: both have changed it/);
  });

  it('do not decide where an option is that both have moved, or whose values one has changed and the other moved', () => {
    assert.deepEqual(merge(withOption({ byte: 2 }), withOption({ byte: 3 })), [
      'options (id "fog"): the same meaning at two places: both have moved it.',
    ]);
    for (const place of [{ byte: 2 }, { line: 2 }, { bits: '1-0' }, { reversed: 'bits' }] as readonly Json[]) {
      for (const meaning of [{ values: { 0: 'off', 1: 'on' } }, { values: undefined, number: {} }] as readonly Json[]) {
        const apart = ['options (id "fog"): one has moved it and the other has changed what its values mean.'];
        assert.deepEqual(merge(withOption(place), withOption(meaning)), apart);
        assert.deepEqual(merge(withOption(meaning), withOption(place)), apart);
      }
      assert.deepEqual(merge(withOption(place), withOption({ title: 'Rear fog light' })), {
        ...withOption({ ...place, title: 'Rear fog light' }),
      });
      assert.deepEqual(merge(withOption(place), withOption({ ...place, note: 'x' })), {
        ...withOption({ ...place, note: 'x' }),
      });
    }
  });

  it('do not take two new options for one place, or one title for two', () => {
    const added = (id: string, more: Json): Json => ({ ...BASE, options: [OPTION, { ...OPTION, id, ...more }] });
    assert.deepEqual(merge(added('a', { byte: 5, title: 'A' }), added('b', { byte: 5, title: 'B' })), [
      'The same place with two meanings: "a" (mine) and "b" (theirs).',
    ]);
    assert.deepEqual(merge(added('a', { byte: 5, title: 'Tow hook' }), added('b', { byte: 6, title: ' tow HOOK' })), [
      'The same meaning at two places: "a" (mine) and "b" (theirs) are both called "Tow hook".',
    ]);
    const moved = merge(withOption({ byte: 5 }), added('b', { byte: 5, title: 'B' }));
    assert.deepEqual(moved, ['The same place with two meanings: "fog" (mine) and "b" (theirs).']);
    const { options } = merge(added('a', { byte: 5, title: 'A' }), added('b', { byte: 6, title: 'B' })) as Json;
    assert.deepEqual(
      (options as readonly Json[]).map(({ id }) => id),
      ['fog', 'a', 'b'],
    );
  });

  it('do not come to contradict each other', () => {
    const locks = { ...BASE, balance: [{ line: 2 }] };
    const lines = { ...BASE, lines: { ...LINES, to: 1 }, options: [OPTION] };
    assert.match(String(merge(locks, lines)), /^Together, the two contradict each other: /);
  });

  it('take how a value is stored from one side as a whole', () => {
    const { values: _, ...bare } = OPTION;
    const of = (more: Json) => ({ ...BASE, options: [{ ...bare, ...more }] });
    const base = of({ number: {} });
    const special = { number: {}, special: { 255: 'not set' } };
    for (const stored of [{ number: { signed: true } }, { text: 'ascii' }]) {
      assert.match(String(merge(of(stored), of(special), base)), /which together nobody has tried/);
      assert.match(String(merge(of(special), of(stored), base)), /which together nobody has tried/);
      assert.deepEqual(merge(of(stored), base, base), of(stored));
    }
  });
});
