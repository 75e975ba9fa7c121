// Whatever is merged keeps all that either side has and the other did not take out, invents nothing, and reads without a problem.
import assert from 'node:assert/strict';
import { createScanner, parse } from 'jsonc-parser';
import { describe, it } from 'mocha';
import { say } from '../../shared-core/src/base/index.js';
import { mergeProfiles, readProfile } from '../../shared-core/src/profile/index.js';
import { type Dice, diceOf, seedOf } from '../support/dice.js';
import { timesMore } from '../support/times.js';

/** An entry of a list as a person writes it, with what they remark above, in and behind it. */
interface Entry {
  /** What tells it apart; no two places are shared by two names. */
  readonly name: string;
  readonly keys: Readonly<Record<string, unknown>>;
  readonly above: readonly string[];
  readonly inside: readonly string[];
  readonly behind: string | undefined;
}

interface Sheet {
  readonly options: readonly Entry[];
  readonly locked: readonly Entry[];
  readonly volatile: readonly Entry[];
  readonly samples: readonly Entry[];
}

const LISTS = ['options', 'locked', 'volatile', 'samples'] as const;
type List = (typeof LISTS)[number];

/** Makes entries and changes; each remark and each text is another one. */
function writer(dice: Dice, side: string) {
  let count = 0;
  const word = (kind: string) => `${kind}-${side}${count++}`;
  const remarks = () => (dice.once(3) ? [word('remark')] : []);
  const entry = (list: List, place: number): Entry => {
    const [line, byte] = [Math.floor(place / 4) + 1, (place % 4) + 1];
    const lists = {
      options: { id: `at${place}`, title: word('title'), line, byte, values: { 0: 'no', 1: 'yes' } },
      locked: { line, byte, why: word('why') },
      volatile: { line, byte },
      samples: { dump: `${dice.pick(['', './'])}${place}.cfgdump`, note: word('note') },
    };
    const { above, inside, behind } = { above: remarks(), inside: remarks(), behind: remarks()[0] };
    return { name: `${list} ${place}`, keys: lists[list], above, inside, behind };
  };
  const changed = (list: List, one: Entry): Entry => {
    const { keys } = one;
    const more = {
      options: { hazard: dice.pick(['lighting', 'braking']), evidence: word('evidence'), title: word('title') },
      locked: { why: word('why'), note: word('note') },
      volatile: { why: word('why') },
      samples: { note: word('note') },
    };
    const [key, value] = dice.pick(Object.entries(more[list]));
    return dice.pick<() => Entry>([
      () => ({ ...one, keys: { ...keys, [key]: value } }),
      () => ({ ...one, above: [...one.above, word('remark')] }),
      () => ({ ...one, inside: [...one.inside, word('remark')] }),
      () => ({ ...one, behind: undefined }),
      () => ({ ...one, above: [] }),
    ])();
  };
  const edit = (sheet: Sheet): Sheet => {
    const list = dice.pick(LISTS);
    const entries = sheet[list];
    const at = dice.int(0, entries.length - 1);
    const next = dice.pick<() => readonly Entry[]>([
      () => [...entries, entry(list, dice.int(0, 11))],
      () => entries.filter((_, i) => i !== at),
      () => entries.map((one, i) => (i === at ? changed(list, one) : one)),
      () => entries.map((one, i) => (i === at ? changed(list, one) : one)),
      () => [...entries].reverse(),
    ])();
    return { ...sheet, [list]: next };
  };
  return { entry, edit };
}

const comment = (text: string, isBlock: boolean) => (isBlock ? `/* ${text} */` : `// ${text}`);

function written(sheet: Sheet, dice: Dice): string {
  const isBlock = dice.once(2);
  const listOf = (entries: readonly Entry[]) =>
    entries
      .map(({ keys, above, inside, behind }, i) => {
        const all = Object.entries(keys).map(([key, value]) => `"${key}": ${JSON.stringify(value)}`);
        const inner = inside.map((one) => `\n      ${comment(one, isBlock)}\n      `).join('');
        const object = `{ ${all[0]},${inner} ${all.slice(1).join(', ') || '"note": ""'} }`;
        const comma = i < entries.length - 1 ? ',' : '';
        const end = behind === undefined ? '' : ` ${comment(behind, isBlock)}`;
        return [...above.map((one) => comment(one, isBlock)), `${object}${comma}${end}`]
          .map((one) => `    ${one}\n`)
          .join('');
      })
      .join('');
  const lists = LISTS.map((list) => `  "${list}": [\n${listOf(sheet[list])}  ]`);
  return `{\n  "format": 1,\n  "lines": { "from": 1, "to": 10, "data": 4 },\n${lists.join(',\n')}\n}\n`;
}

/** What a text says: each key of each entry, and each remark with the entry that it is at. */
function factsOf(text: string): ReadonlySet<string> {
  const facts = new Set<string>();
  const plain = text.replace(/\/\*.*?\*\/|\/\/.*/g, '').replace(/,(\s*[\]}])/g, '$1');
  const read: Readonly<Record<string, unknown>> = JSON.parse(plain);
  for (const list of LISTS)
    for (const entry of (read[list] ?? []) as readonly Readonly<Record<string, unknown>>[]) {
      const { id, line, byte, dump, ...said } = entry;
      const name = `${list} ${id ?? String(dump ?? `${line}/${byte}`).replace('./', '')}`;
      facts.add(name);
      for (const [key, value] of Object.entries(said)) facts.add(`${name} ${key} ${JSON.stringify(value)}`);
      if (id !== undefined) facts.add(`${name} at ${line}/${byte}`);
    }
  for (const [remark] of text.matchAll(/remark-\w+/g)) facts.add(remark);
  return facts;
}

interface Texts {
  readonly mine: string;
  readonly theirs: string;
  readonly base: string;
}

/** A profile and what two people have made of it. */
function threeTexts(dice: Dice): Texts {
  const [first, own, other] = [writer(dice, 'b'), writer(dice, 'm'), writer(dice, 't')];
  const entries = (list: List) => dice.some([...Array(12).keys()], 3).map((at) => first.entry(list, at));
  const sheet: Sheet = {
    options: entries('options'),
    locked: entries('locked'),
    volatile: entries('volatile'),
    samples: entries('samples'),
  };
  const edited = (edit: (sheet: Sheet) => Sheet): Sheet =>
    Array.from({ length: dice.int(0, 6) }).reduce<Sheet>((now) => edit(now), sheet);
  const layout = dice.int(0, 1000);
  const text = (one: Sheet) => written(one, diceOf(layout));
  return { base: text(sheet), mine: text(edited(own.edit)), theirs: text(edited(other.edit)) };
}

function merge({ mine, theirs, base }: Texts): ReturnType<typeof mergeProfiles> {
  return mergeProfiles({
    mine: { name: 'mine', text: mine },
    theirs: { name: 'theirs', text: theirs },
    base: { name: 'base', text: base },
  });
}

/** A text with comments between any two of its tokens, each another one. */
function sprinkled(text: string, dice: Dice, side: string): string {
  const scanner = createScanner(text, true);
  const ends = [0];
  while (scanner.scan() !== END_OF_FILE) ends.push(scanner.getTokenOffset() + scanner.getTokenLength());
  return [...dice.some([...ends.keys()], dice.int(1, 4))]
    .sort((a, b) => b - a)
    .reduce((now, i) => {
      const at = ends[i] ?? 0;
      const [before, behind] = [now.slice(0, at), now.slice(at)];
      const remark = comment(`remark-${side}${i}`, dice.once(2));
      return `${before}${dice.pick(['', ' ', '\n  '])}${remark}${remark.startsWith('//') ? '\n' : ''}${behind}`;
    }, text);
}

/** `SyntaxKind.EOF` of the scanner, whose constants cannot be imported one file at a time. */
const END_OF_FILE: number = 17;

const remarksIn = (text: string): readonly string[] => text.match(/remark-\w+/g) ?? [];

describe('merged profiles', () => {
  it('keep what either side has and the other did not take out, invent nothing, and have no problem', function () {
    this.timeout(60_000 * timesMore());
    let merged = 0;
    let undecided = 0;
    const cases = 400 * timesMore();
    for (let i = 0; i < cases; i++) {
      const texts = threeTexts(diceOf(seedOf(14, i)));
      const { mine, theirs, base } = texts;
      const said = `${i}\n${base}\n${mine}\n${theirs}`;
      const result = merge(texts);
      if (!result.ok) {
        const broken = [base, mine, theirs].some((text) => readProfile(text).problems.length > 0);
        assert.ok(broken, `${say(result.why)} ${said}`);
        continue;
      }
      const { text } = result.value;
      if (text === undefined) {
        undecided++;
        continue;
      }
      merged++;
      assert.deepEqual(readProfile(text).problems, [], said);
      const [here, there, before, now] = [mine, theirs, base, text].map(factsOf);
      for (const [one, another] of [
        [here, there],
        [there, here],
      ])
        for (const fact of one ?? [])
          if (another?.has(fact) || !before?.has(fact)) assert.ok(now?.has(fact), `${fact} is lost ${said}\n${text}`);
      for (const fact of now ?? []) assert.ok(here?.has(fact) || there?.has(fact), `${fact} is new ${said}\n${text}`);
      if (theirs === base) assert.equal(text, mine);
      if (mine === base)
        for (const fact of now ?? []) assert.ok(there?.has(fact) || fact.startsWith('remark'), `${fact} stays ${said}`);
    }
    // A law about what is never merged, or always, would say nothing.
    for (const many of [merged, undecided]) assert.ok(many > cases / 20, `${merged} and ${undecided} of ${cases}`);
  });

  it('keep every comment of either side, wherever it is, and mean the same as without', function () {
    this.timeout(60_000 * timesMore());
    let merged = 0;
    const cases = 400 * timesMore();
    for (let i = 0; i < cases; i++) {
      const dice = diceOf(seedOf(15, i));
      const plain = Object.fromEntries(
        Object.entries(threeTexts(dice)).map(([side, text]) => [side, text.replace(/\/\*.*?\*\/|\/\/.*/g, '')]),
      );
      const { mine = '', theirs = '', base = '' } = plain;
      const without = merge({ mine, theirs, base });
      if (!without.ok || without.value.text === undefined) continue;
      const texts = { mine: sprinkled(mine, dice, 'm'), theirs: sprinkled(theirs, dice, 't'), base };
      const said = `${i}\n${base}\n${texts.mine}\n${texts.theirs}`;
      const result = merge(texts);
      assert.ok(result.ok, said);
      const { text, conflicts } = result.value;
      for (const conflict of conflicts) assert.match(say(conflict), /has lost its place/, said);
      if (text === undefined) continue;
      merged++;
      const wanted = [...remarksIn(texts.mine), ...remarksIn(texts.theirs)].sort();
      assert.deepEqual([...remarksIn(text)].sort(), wanted, `${said}\n${text}`);
      assert.deepEqual(parse(text), parse(without.value.text), `${said}\n${text}`);
    }
    assert.ok(merged > cases / 4, `${merged} of ${cases}`);
  });
});
