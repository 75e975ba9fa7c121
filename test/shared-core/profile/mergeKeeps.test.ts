// What a merge never loses and never makes: comments of either side, and a profile with a problem.
import assert from 'node:assert/strict';
import { parse } from 'jsonc-parser';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/phrase.js';
import { mergeProfiles, type Version } from '../../../shared-core/src/profile/mergeProfiles.js';
import { basesOf } from '../../support/chains.js';

const FOG = '{ "id": "fog", "title": "Fog light", "line": 1, "byte": 1, "values": { "0": "no", "1": "yes" } }';
const HOOK = '{ "id": "hook", "title": "Tow hook", "line": 3, "byte": 1, "values": { "0": "no", "1": "yes" } }';

const SEAT = '{ "id": "seat", "title": "Seat heater", "line": 4, "byte": 1, "values": { "0": "no", "1": "yes" } }';

const profileOf = (more: string, options = FOG) => `{
  "format": 1,
  "lines": { "from": 1, "to": 4, "data": 4 },
  ${more}"options": [${options}]
}
`;

type Side = string | Omit<Version, 'name'>;

function mergedOf(mine: Side, theirs: Side, base: Side) {
  const version = (name: string, side: Side) => ({ name, ...(typeof side === 'string' ? { text: side } : side) });
  return mergeProfiles({
    mine: version('mine.json', mine),
    theirs: version('theirs.json', theirs),
    base: version('base.json', base),
  });
}

/** The merged text; what is to be decided, each as a sentence; or why nothing is merged. */
function merge(mine: Side, theirs: Side, base: Side): string {
  const merged = mergedOf(mine, theirs, base);
  if (!merged.ok) return `refused: ${say(merged.why)}`;
  const { text, conflicts } = merged.value;
  return text ?? conflicts.map((said) => say(said)).join('\n');
}

const LOCKS = `"locked": [
    // because airbag
    { "line": 2, "bytes": "1-2" }, // see note 7
    { "line": 2, "bytes": "3-4", /* read by
       the immobiliser */ "why": "key" }
    // no more locks
  ],
  `;
const PLAIN = `"locked": [
    { "line": 2, "bytes": "1-2" },
    { "line": 2, "bytes": "3-4", "why": "key" }
  ],
  `;
const SAID = ['// because airbag', '// see note 7', '/* read by', '// no more locks'];

describe('a merge keeps comments', () => {
  const changes: readonly (readonly [string, string])[] = [
    ['adds a lock', PLAIN.replace('\n  ],', ',\n    { "line": 4, "byte": 1 }\n  ],')],
    ['says why of a lock', PLAIN.replace('"1-2"', '"1-2", "why": "airbag"')],
    ['changes a reason', PLAIN.replace('key', 'key code')],
    ['has another order', PLAIN.replace(/(\{.*?\}),\n {4}(\{.*?\})/, '$2,\n    $1')],
  ];
  for (const [what, changed] of changes) {
    assert.notEqual(changed, PLAIN);
    it(`of mine, whether the base has them or not, where the other ${what}`, () => {
      for (const base of [profileOf(PLAIN), profileOf(LOCKS)]) {
        const merged = merge(profileOf(LOCKS), profileOf(changed), base === profileOf(PLAIN) ? base : profileOf(PLAIN));
        for (const said of SAID) assert.ok(merged.includes(said), `${said}: ${merged}`);
      }
    });
    it(`of the other, who has only them, where I have changed something: it ${what}`, () => {
      const merged = merge(profileOf(changed), profileOf(LOCKS), profileOf(PLAIN));
      for (const said of SAID) assert.ok(merged.includes(said), `${said}: ${merged}`);
    });
  }

  it('at what they are said of', () => {
    const theirs = profileOf(PLAIN.replace('"why": "key"', '"why": "key code"'));
    assert.equal(merge(profileOf(LOCKS), theirs, profileOf(PLAIN)), profileOf(LOCKS.replace('"key"', '"key code"')));
    const noted = profileOf(PLAIN, `\n    // tried\n    ${FOG},\n    // a guess\n    ${HOOK}\n  `);
    assert.match(merge(profileOf(PLAIN), noted, profileOf(PLAIN)), /\/\/ tried\n.*"fog"[\s\S]*\/\/ a guess\n.*"hook"/);
  });

  it('once, where both have said the same, and where one has moved it', () => {
    const both = merge(profileOf(LOCKS), profileOf(LOCKS), profileOf(PLAIN));
    assert.equal(both, profileOf(LOCKS));
    const moved = LOCKS.replace('// because airbag\n    ', '').replace(
      '{ "line": 2, "bytes": "3',
      '// because airbag\n    $&',
    );
    assert.notEqual(moved, LOCKS);
    const merged = merge(profileOf(LOCKS), profileOf(moved), profileOf(LOCKS));
    assert.equal(merged, profileOf(moved));
  });

  it('and takes those out with what they are said of, but for one that is new there: that is for a person', () => {
    const base = profileOf(LOCKS);
    const gone = profileOf(
      LOCKS.replace('// because airbag\n    ', '').replace('{ "line": 2, "bytes": "1-2" }, // see note 7\n    ', ''),
    );
    assert.equal(merge(base, gone, base), gone);
    const said = 'The comment "// new" has lost its place: put it elsewhere, or take it out.';
    const mine = base.replace('// because airbag', '// because airbag\n\n    // new');
    assert.equal(merge(mine, gone, base), said);
    assert.equal(merge(gone, mine, base), said);
  });

  it('and never puts one on something else that has come to its place', () => {
    const need = (option: string, value: number) => `{ "option": "${option}", "in": [${value}] }`;
    const needing = (...needs: readonly string[]) =>
      profileOf('', `${FOG}, ${HOOK.replace(' }', ` }, "needs": [${needs.join(', ')}]`)}, ${SEAT}`);
    const base = needing(need('fog', 1));
    const mine = base.replace('"needs": [', '"needs": [\n// tried\n');
    const said = 'The comment "// tried" has lost its place: put it elsewhere, or take it out.';
    assert.equal(merge(mine, needing(need('seat', 1)), base), said);
    assert.match(merge(mine, needing(need('seat', 1), need('fog', 1)), base), /"seat".*\n *\/\/ tried\n.*"fog"/);
  });

  it('above what they were behind, and several in one line', () => {
    const two = LOCKS.replace('// see note 7', '/* see note 7 */ // and 8');
    const theirs = profileOf(PLAIN.replace('{ "line": 2, "bytes": "1-2" },\n    ', ''));
    assert.equal(
      merge(profileOf(two), theirs, profileOf(two)),
      profileOf(LOCKS).replace(/ {4}\/\/ because[\s\S]*?7\n/, ''),
    );
    const added = profileOf(PLAIN.replace('3-4', '3-4" /* key */, // both\n "note": "x'));
    const merged = merge(profileOf(PLAIN.replace('"1-2"', '"1-2", "why": "id"')), added, profileOf(PLAIN));
    for (const one of ['/* key */', '// both', '"note": "x"', '"why": "id"']) assert.ok(merged.includes(one), merged);
  });

  it('before and behind the profile, and in what is empty', () => {
    const base = profileOf('"volatile": [],\n  ');
    const mine = base.replace('"options"', '"title": "Body",\n  "options"');
    const theirs = `// above\n${base.replace('[]', '[ /* none yet */ ]')}// below\n`;
    const merged = merge(mine, theirs, base);
    assert.match(merged, /^\/\/ above\n\{[\s\S]*\[\s*\/\* none yet \*\/\s*\][\s\S]*"Body"[\s\S]*\}\n\/\/ below\n$/);
    assert.equal(merge(theirs, mine, base), theirs.replace(/\]\n\}/, '],\n  "title": "Body"\n}'));
    assert.match(merge(`\ufeff${mine}`, theirs, base), /^\ufeff\/\/ above\n\{/);
  });

  it('with the line ends of mine', () => {
    const crlf = (text: string) => text.replaceAll('\n', '\r\n');
    const merged = merge(crlf(profileOf(PLAIN)), profileOf(LOCKS.replace(/\/\*[\s\S]*\*\/ /, '')), profileOf(PLAIN));
    assert.match(merged, /\/\/ because airbag\r\n/);
    assert.doesNotMatch(merged, /[^\r]\n/);
  });
});

describe('a merge changes mine in place', () => {
  const list = (...entries: readonly string[]) =>
    profileOf(`"locked": [\n    ${entries.join(',\n    ')}\n  ],\n  `).replace('"lines"', '// lines\n  "lines"');
  const lock = (byte: number, more = '') => `{ "line": 2, "byte": ${byte}${more} }`;
  const all = [1, 2, 3, 4].map((byte) => lock(byte));

  it('wherever things are added, changed and taken out at once', () => {
    const base = list(...all);
    for (const kept of [[0], [3], [1], [0, 2], [1, 3], [0, 3], [0, 1], []]) {
      const left = list(...kept.map((i) => all[i] ?? ''));
      assert.deepEqual(parse(merge(base, left, base)), parse(left));
      if (kept.length > 0 && kept.length < 3) assert.equal(merge(base, left, base), left);
    }
    const theirs = list(lock(1, ', "why": "id"'), lock(2), lock(4, ', "why": "key"'), lock(3, ', "note": "x"'));
    const other = theirs.replace('"title": "Fog light"', '"title": "Fog lamp"');
    assert.deepEqual(parse(merge(base, other, base)), parse(other));
    const more = list(...all, '{ "line": 3, "byte": 1 }', '{ "line": 3, "byte": 2 }').replace('Fog light', 'Fog lamp');
    assert.equal(merge(base, more, base), more);
  });

  it('and puts comments exactly where they were, whatever is on their line', () => {
    const base = list(lock(1), lock(2, ', "why": "id"'));
    const mine = base.replace('"title": "Fog light"', '"title": "Fog lamp"');
    const noted: readonly (readonly [string, string, string])[] = [
      // Where it is in theirs, and where it comes to be.
      ['{ "line": 2, "byte": 1 },', '// c\n    { "line": 2, "byte": 1 },', '// c\n    { "line": 2, "byte": 1 },'],
      ['{ "line": 2, "byte": 1 },', '{ "line": 2, "byte": 1 }, // c', '// c\n    { "line": 2, "byte": 1 },'],
      ['"why"', '/* c */ "why"', '\n      /* c */\n      "why"'],
      ['"why": ', '"why": /* c */ ', '\n      /* c */\n      "why": '],
      ['"id" }\n', '"id" }\n    // c\n', '"id" }\n    // c\n'],
      ['"id" }\n', '"id" }\n    // c\n    // d\n', '"id" }\n    // c\n    // d\n'],
      ['"id" }\n', '"id" }\n    // c\n\n    /* d */\n', '"id" }\n    // c\n    /* d */\n'],
    ];
    for (const [at, written, kept] of noted) {
      const theirs = base.replace(at, written);
      assert.notEqual(theirs, base);
      const wanted = mine.replace(at.startsWith('"why"') ? ` ${at}` : at, at.startsWith('"why"') ? ` ${kept}` : kept);
      assert.equal(merge(mine, theirs, base), wanted, written);
    }
  });

  it('and takes a comment out with what it is on, and nothing beside it', () => {
    const base = list(
      `// a\n    // b\n    ${lock(1)}`,
      `/* c */ ${lock(2)}`,
      `${lock(3)}, // d\n    // e\n    ${lock(4)}`,
    );
    const without = (...gone: readonly string[]) => gone.reduce((text, one) => text.replace(one, ''), base);
    const cases = [
      without('// a\n    // b\n    { "line": 2, "byte": 1 },\n    '),
      without('/* c */ { "line": 2, "byte": 2 },\n    '),
      without('{ "line": 2, "byte": 3 }, // d\n    '),
    ];
    for (const theirs of cases) {
      const merged = merge(base, theirs, base);
      assert.deepEqual(merged.match(/[/*]+ \w/g), theirs.match(/[/*]+ \w/g), merged);
      assert.deepEqual(parse(merged), parse(theirs));
    }
  });
});

describe('a merge reads all three', () => {
  const good = profileOf('');
  const broken: readonly (readonly [string, string])[] = [
    ['{}', '{}'],
    ['no object', '[]'],
    ['a text that breaks off', good.slice(0, -3)],
    ['a retrofit', '{ "format": 1, "title": "Tow hook", "changes": [] }'],
    ['format 2', good.replace('"format": 1', '"format": 2')],
    ['an unknown key', good.replace('"lines"', '"lock": 1, "lines"')],
    ['a wrong type', good.replace('"byte": 1', '"byte": "eight"')],
    ['a place that is not there', profileOf('"locked": [{ "line": 99 }],\n  ')],
    ['an id that is there twice', profileOf('', `${FOG}, ${FOG.replace('"line": 1', '"line": 2')}`)],
    ['a key that is given twice', good.replace('"byte"', '"byte": 2, "byte"')],
  ];
  for (const [what, text] of broken)
    it(`and nothing is merged where one has a problem: ${what}`, () => {
      for (const which of ['mine', 'theirs', 'base'] as const) {
        const sides = { mine: good, theirs: good, base: good, [which]: text };
        const said = merge(sides.mine, sides.theirs, sides.base);
        assert.match(said, new RegExp(`^refused: ${which}\\.json has problems; correct them first\\. .+`));
      }
    });

  it('over the profiles that they extend', () => {
    const bases = basesOf({ 'base.json': profileOf('') });
    const own = (options: string): Side => ({
      text: `{ "format": 1, "extends": "base.json", "options": [${options}] }`,
      bases,
    });
    const lacking = own('');
    assert.equal(typeof lacking, 'object');
    assert.match(merge(own(HOOK), { text: (own('') as Version).text }, own('')), /^refused: theirs\.json has problems/);
    assert.match(merge(own(HOOK), own('{ "id": "fog", "hazard": "braking" }'), own('')), /"hook"[\s\S]*"braking"/);
    assert.match(
      merge(own(HOOK), own('{ "id": "fog", "line": 3, "byte": 1 }'), own('')),
      /^The same place with two meanings: /,
    );
    const out = own('{ "id": "fog", "entry": null }');
    const cautious = own('{ "id": "fog", "line": 2, "hazard": "braking" }');
    assert.match(merge(out, cautious, own('{ "id": "fog", "line": 2 }')), /^Together, the two contradict each other: /);
  });

  it('and the profile that is extended counts in which one has changed it', () => {
    const [one, other] = [profileOf(''), profileOf('', HOOK)].map((text, i) => basesOf({ [`${i}.json`]: text }));
    const of = (name: string, bases: Version['bases'], more = ''): Side => ({
      text: `{ "format": 1, "extends": "${name}", "options": [${more}] }`,
      bases,
    });
    const base = of('0.json', one);
    const mine = of('1.json', other);
    const cautious = '{ "id": "fog", "hazard": "braking" }';
    assert.match(merge(mine, of('0.json', one, cautious), base), /^Together, the two contradict each other: /);
    assert.match(merge(of('0.json', one, cautious), mine, base), /^Together, the two contradict each other: /);
  });

  it('and what neither had is a conflict: places that meet', () => {
    const base = profileOf('');
    const mine = profileOf('', `${FOG}, ${HOOK}`);
    for (const list of ['balance', 'volatile']) {
      const theirs = profileOf(`"${list}": [{ "line": 3 }],\n  `).replace('{ "line": 3 }', '{ "line": 3, "byte": 1 }');
      const said = `options (id "hook") and ${list} (line 3, byte 1) share bytes, and each has changed one of them.`;
      assert.equal(merge(mine, theirs, base), said);
      assert.equal(merge(theirs, mine, base), said);
      // Who has both has decided it.
      const both = profileOf(`"${list}": [{ "line": 3, "byte": 1 }],\n  `, `${FOG}, ${HOOK}`);
      assert.equal(merge(both, base, base), both);
      assert.deepEqual(parse(merge(base, both, base)), parse(both));
      // Beside each other they do not meet; an option that comes there does.
      assert.deepEqual(parse(merge(mine, theirs.replace('"byte": 1 }],', '"byte": 2 }],'), base)).options.length, 2);
      const moved = profileOf('', FOG.replace('"line": 1', '"line": 3'));
      assert.equal(merge(moved, theirs, base), said.replace('hook', 'fog'));
      assert.equal(merge(theirs, moved, base), said.replace('hook', 'fog'));
    }
  });

  it('and a title that two options have on either side already is no conflict', () => {
    const twice = profileOf('', `${FOG}, ${HOOK.replace('Tow hook', 'Fog light')}`);
    const noted = twice.replace('"format": 1', '"format": 1, "title": "Body"');
    const more = twice.replace('"data": 4', '"data": 5');
    assert.deepEqual(
      parse(merge(noted, more, twice)),
      parse(more.replace('"format": 1', '"format": 1, "title": "Body"')),
    );
    const renamed = profileOf('', `${FOG}, ${HOOK}`);
    assert.deepEqual(parse(merge(twice, `// x\n${renamed}`, renamed)), parse(twice));
  });

  it('and what neither had is a conflict: a sample that says something of an option that the other has changed', () => {
    const base = profileOf('', `${FOG}, ${HOOK}`);
    const samples = (word: string) => `"samples": [{ "dump": "a.cfgdump", "expect": { "hook": "${word}" } }],\n  `;
    const sampled = profileOf(samples('yes'), `${FOG}, ${HOOK}`);
    for (const hook of [HOOK.replace('"yes"', '"fitted"'), HOOK.replace('"byte": 1', '"byte": 2')]) {
      const said = '"hook": one has changed what its values are, and the other what "a.cfgdump" says of them.';
      assert.equal(merge(profileOf('', `${FOG}, ${hook}`), sampled, base), said);
      assert.equal(merge(sampled, profileOf('', `${FOG}, ${hook}`), base), said);
    }
    const more = profileOf('', `${FOG}, ${HOOK.replace('"yes"', '"yes", "2": "both"')}`);
    assert.match(merge(more, sampled, base), /"both"/);
    // What both began with is no news.
    const fitted = sampled.replace('"yes" } }]\n', '"fitted" } }]\n');
    assert.notEqual(fitted, sampled);
    assert.deepEqual(parse(merge(fitted, `// x\n${sampled}`, sampled)), parse(fitted));
    const gone = profileOf('', FOG);
    assert.match(merge(gone, sampled, base), /^Together, the two contradict each other: /);
  });
});

describe('a merge takes no sample of one side for the rule of the other', () => {
  const total = (method: string, more = '') =>
    `"totals": [{ "name": "end", "label": "end", "method": "${method}", "bits": 8, "over": ["data"]${more} }],\n  `;
  const sampled = '"samples": [{ "dump": "a.cfgdump" }],\n  ';
  const base = profileOf(total('add'));

  it('whoever has which', () => {
    const said = (key: string) =>
      `The rule of the lines: one has changed "${key}" and the other "samples", which together nobody has tried.`;
    const sample = profileOf(total('add') + sampled);
    for (const [key, changed] of [
      ['totals', profileOf(total('xor'))],
      ['lines', base.replace('"to": 4', '"to": 5')],
    ] as const) {
      assert.equal(merge(changed, sample, base), said(key));
      assert.equal(merge(sample, changed, base), said(key));
    }
  });

  it('but a sample that both have, and one beside what is only remarked', () => {
    const [before, both] = [profileOf(total('add') + sampled), profileOf(total('xor') + sampled)];
    assert.equal(merge(both, before, before), both);
    assert.equal(merge(both, before, base), both);
    const noted = profileOf(total('add', ', "note": "x"'));
    assert.match(merge(noted, before, base), /"note": "x"[\s\S]*a\.cfgdump/);
  });
});

describe('a merge takes samples for one that are one file', () => {
  const base = profileOf('', `${FOG}, ${HOOK}`);
  const of = (dump: string, id: string, word: string) =>
    profileOf(`"samples": [{ "dump": "${dump}", "expect": { "${id}": "${word}" } }],\n  `, `${FOG}, ${HOOK}`);

  it('however its path is written', () => {
    for (const path of ['./a.cfgdump', 'x/../a.cfgdump', './/a.cfgdump'])
      assert.equal(
        merge(of('a.cfgdump', 'hook', 'yes'), of(path, 'hook', 'yes'), base),
        of('a.cfgdump', 'hook', 'yes'),
      );
    const both = merge(of('../a.cfgdump', 'fog', 'no'), of('./../a.cfgdump', 'hook', 'yes'), base);
    assert.deepEqual(JSON.parse(both).samples, [{ dump: '../a.cfgdump', expect: { fog: 'no', hook: 'yes' } }]);
  });

  it('and says of which option they expect different things', () => {
    assert.equal(
      merge(of('a.cfgdump', 'hook', 'yes'), of('./a.cfgdump', 'hook', 'no'), base),
      'samples (dump "a.cfgdump") expect hook: both have changed it. Mine: "yes"; theirs: "no".',
    );
  });
});

describe('a merge without what both began with', () => {
  it('takes both for additions', () => {
    for (const nothing of ['', '\n']) {
      const [mine, theirs] = [
        profileOf('"locked": [{ "line": 2 }],\n  ', FOG),
        profileOf('"title": "Body",\n  ', HOOK),
      ];
      const { title, locked, options } = JSON.parse(merge(mine, theirs, nothing));
      assert.deepEqual([title, locked, options], ['Body', [{ line: 2 }], [FOG, HOOK].map((one) => JSON.parse(one))]);
    }
  });

  it('and says what differs, which nobody decides', () => {
    const other = FOG.replace('"yes"', '"on"');
    assert.match(
      merge(profileOf(''), profileOf('', other), ''),
      /^options \(id "fog"\): both have changed it\. Mine: /,
    );
    const [bare, sum] = ['', '"lineSum": { "method": "add", "over": ["data"] },\n  '].map((more) =>
      profileOf(more).replace('"data": 4', '"data": 4, "sum": 1'),
    );
    assert.match(merge(sum ?? '', bare ?? '', ''), /^lineSum: both have changed it\. Mine: \{.*\}; theirs: nothing\.$/);
    assert.match(merge(bare ?? '', sum ?? '', ''), /^lineSum: both have changed it\. Mine: nothing; theirs: \{.*\}\.$/);
  });

  it('is none of an empty file that is not the base', () => {
    assert.match(merge('', profileOf(''), ''), /^refused: mine\.json has problems/);
    assert.match(merge(profileOf(''), '', ''), /^refused: theirs\.json has problems/);
  });
});

describe('a merge of places', () => {
  it('takes one that is written in other keys as a whole, whatever else is changed', () => {
    const base = `{ "format": 1, "addresses": { "from": 0, "to": 255 }, "locked": [{ "address": 128, "length": 16 }] }`;
    const mine = base.replace('16 }', '16, "why": "id" }');
    const theirs = base.replace('"address": 128, "length": 16', '"from": "0x80", "to": "0x8F", "personal": true');
    for (const merged of [merge(mine, theirs, base), merge(theirs, mine, base)])
      assert.deepEqual(JSON.parse(merged).locked, [{ from: '0x80', to: '0x8F', why: 'id', personal: true }]);
  });

  it('leaves to a person in which order they are tried, where one has turned it and the other changed the list', () => {
    const of = (places: string) => profileOf(`"balance": [${places}],\n  `);
    const base = of('{ "line": 2, "byte": 1 }, { "line": 2, "byte": 2 }');
    const turned = of('{ "line": 2, "byte": 2 }, { "line": 2, "byte": 1 }');
    const more = of('{ "line": 2, "byte": 1 }, { "line": 2, "byte": 2 }, { "line": 2, "byte": 3 }');
    assert.equal(JSON.parse(merge(base, turned, base)).balance[0].byte, 2);
    assert.match(merge(more, turned, base), /^balance: both have changed it/);
    assert.deepEqual(
      JSON.parse(merge(turned, more, base)).balance.map(({ byte }: { readonly byte: number }) => byte),
      [2, 1, 3],
    );
  });
});
