// A profile that a person wrote is changed by just what was asked for: everything else, comments and order too, stays as it is.
import assert from 'node:assert/strict';
import { parse } from 'jsonc-parser';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { changeProfile, type ProfileWish, type SeenOption } from '../../../shared-core/src/learn/changeProfile.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';
import { editedProfile } from '../../../shared-core/src/profile/profileText.js';

const TEXT = `{
  // The first of all.
  "format": 1,
  "lines": { "from": 1, "to": 4, "data": 4, "sum": 0 },
  "totals": [
    { "name": "a", "label": "a", "method": "add", "bits": 8, "over": ["data"], "confidence": "guess" },
    { "name": "b", "label": "b", "method": "xor", "bits": 8, "over": ["data"], "confidence": "guess", "note": "seen once" }
  ],
  "options": [
    { "id": "fog", "title": "Fog", "line": 1, "byte": 1, "bits": "3-0", "values": { "0": "no", "1": "yes" }, "confidence": "likely" },
    /* between */
    { "id": "horn", "title": "Horn", "line": 2, "byte": 1, "values": { "0": "no" }, "confidence": "guess",
      "seen": [{ "part": "A-1", "date": "2026-01-02", "how": "found-by-search" }] },
    { "id": "lamp", "title": "Lamp", "line": 3, "byte": 1, "values": { "0": "no" }, "repeat": { "count": 2, "step": 1 } }
  ],
  "samples": [
    { "dump": "a.cfgdump", "expect": { "fog": "no", "horn": "no", "lamp.1": "no", "lamp.2": "no" } }
  ]
}
`;

interface Written {
  readonly options?: readonly {
    readonly id: string;
    readonly confidence?: string;
    readonly seen?: readonly object[];
    readonly bits?: string;
  }[];
  readonly totals?: readonly { readonly confidence?: string; readonly note?: string }[];
  readonly samples?: readonly { readonly expect: Readonly<Record<string, string>> }[];
}

function changed(wish: ProfileWish, text = TEXT) {
  const result = changeProfile(text, wish);
  if (!result.ok) return { why: say(result.why) };
  for (const [i, edit] of result.value.entries())
    assert.ok(i === 0 || edit.offset >= (result.value[i - 1]?.offset ?? 0), 'in the order of the text');
  const after = editedProfile(text, result.value);
  for (const comment of ['// The first of all.', '/* between */']) assert.ok(after.includes(comment), comment);
  return { after, json: parse(after) as Written };
}

const UNSAID = { software: undefined, by: undefined };
const option = (json: Written | undefined, id: string) => json?.options?.find((one) => one.id === id);

describe('a profile that is changed', () => {
  it('tells where an option was seen once more, in a list that it has or that is made, and how sure that makes it', () => {
    const seen = (id: string, part: string, how: 'set-and-tried' | 'found-by-search' = 'found-by-search') =>
      changed({ kind: 'seen', seen: [{ id, observation: { ...UNSAID, part, date: '2026-02-03', how } }] });
    const fog = option(seen('fog', 'B-2').json, 'fog');
    assert.deepEqual(fog?.seen, [{ part: 'B-2', date: '2026-02-03', how: 'found-by-search' }]);
    assert.equal(fog?.confidence, 'likely');
    assert.equal(option(seen('horn', 'B-2').json, 'horn')?.confidence, 'guess');
    const horn = seen('horn', 'B-2', 'set-and-tried');
    assert.deepEqual(option(horn.json, 'horn')?.seen?.length, 2);
    assert.notEqual(option(horn.json, 'horn')?.confidence, 'guess');
    assert.deepEqual(option(horn.json, 'fog'), option(parse(TEXT) as Written, 'fog'), 'no other option');
    const again = {
      kind: 'seen',
      seen: [{ id: 'horn', observation: { ...UNSAID, part: 'A-1', date: '2026-01-02', how: 'found-by-search' } }],
    } as const;
    assert.equal(changed(again).why, 'The profile lists that already.');
    assert.match(seen('none', 'A').why ?? '', /^The profile does not hold what is to be changed/);
    const both = changed({
      kind: 'seen',
      seen: ['lamp', 'fog'].map(
        (id): SeenOption => ({
          id,
          observation: { ...UNSAID, part: 'C', date: '2026-02-03', how: 'found-by-search' },
        }),
      ),
    });
    assert.deepEqual(
      ['fog', 'lamp'].map((id) => option(both.json, id)?.seen?.length),
      [1, 1],
    );
  });

  it('loses an option with all that samples say of it, of one of several too, and of no other', () => {
    const without = (id: string) => changed({ kind: 'remove', id }).json;
    assert.deepEqual(
      without('fog')?.options?.map(({ id }) => id),
      ['horn', 'lamp'],
    );
    assert.deepEqual(Object.keys(without('fog')?.samples?.[0]?.expect ?? {}), ['horn', 'lamp.1', 'lamp.2']);
    assert.deepEqual(Object.keys(without('lamp')?.samples?.[0]?.expect ?? {}), ['fog', 'horn']);
    assert.match(changed({ kind: 'remove', id: 'none' }).why ?? '', /^The profile does not hold/);
  });

  it('has wider bits for an option with the values that go with them', () => {
    const wide = changed({ kind: 'widen', id: 'fog', bits: '4-0', values: { 0: 'no', 17: 'yes' } });
    assert.deepEqual(option(wide.json, 'fog'), {
      ...option(parse(TEXT) as Written, 'fog'),
      bits: '4-0',
      values: { 0: 'no', 17: 'yes' },
    });
    // One without bits of its own has none to widen.
    assert.match(
      changed({ kind: 'widen', id: 'lamp', bits: '4-0', values: {} }).why ?? '',
      /^The profile does not hold/,
    );
    assert.match(
      changed({ kind: 'widen', id: 'fog', bits: '9-0', values: { 0: 'no' } }).why ?? '',
      /^The profile would have a problem afterwards: /,
    );
  });

  it('says of a file sum that it is confirmed, and by what, behind the note that it has', () => {
    const { totals } = readProfile(TEXT).profile;
    const at = (index: number) => totals[index]?.source ?? assert.fail();
    const sums = [1, 0].map((index) => ({ at: at(index), note: `by ${index}` }));
    assert.deepEqual(
      changed({ kind: 'confirm', sums }).json?.totals?.map(({ confidence, note }) => [confidence, note]),
      [
        ['confirmed', 'by 0'],
        ['confirmed', 'seen once by 1'],
      ],
    );
    const once = changed({ kind: 'confirm', sums: [{ at: at(0), note: 'x' }] });
    assert.deepEqual(
      once.json?.totals?.map(({ confidence }) => confidence),
      ['confirmed', 'guess'],
    );
    const listed = TEXT.replace('"seen once"', '["seen once", "by hand"]');
    assert.notEqual(listed, TEXT);
    const second = readProfile(listed).profile.totals[1]?.source ?? assert.fail();
    assert.deepEqual(
      changed({ kind: 'confirm', sums: [{ at: second, note: 'by both' }] }, listed).json?.totals?.[1]?.note,
      ['seen once', 'by hand', 'by both'],
    );
    // What is no guess is not confirmed again, and no other place is taken for it.
    const confirmed = TEXT.replace('"confidence": "guess" }', '"confidence": "likely" }');
    const there = readProfile(confirmed).profile.totals[0]?.source ?? assert.fail();
    assert.match(
      changed({ kind: 'confirm', sums: [{ at: there, note: 'x' }] }, confirmed).why ?? '',
      /^The profile does not hold/,
    );
    assert.match(
      changed({ kind: 'confirm', sums: [{ at: { ...at(0), end: at(0).end - 1 }, note: 'x' }] }).why ?? '',
      /^The profile does not hold/,
    );
  });

  it('gets headings where it says how lines are written, and nowhere else', () => {
    const wish = { kind: 'headings', headings: ['Read {skip}'] } as const;
    assert.match(changed(wish).why ?? '', /^The profile does not hold what is to be changed/);
    const notation = (own: string) => TEXT.replace('"lines":', `"notation": ${own},\n  "lines":`);
    const headings = (own: string) => {
      const { json, why } = changed(wish, notation(own));
      return why ?? (json as { readonly notation: { readonly headings: readonly string[] } }).notation.headings;
    };
    assert.deepEqual(headings('{ "pattern": "{label}: {data}" }'), ['Read {skip}']);
    assert.deepEqual(headings('{ "pattern": "{label}: {data}", "headings": ["Dump of {skip}"] }'), [
      'Dump of {skip}',
      'Read {skip}',
    ]);
    assert.match(
      String(headings('{ "pattern": "{label}: {data}", "headings": "Dump" }')),
      /^The profile does not hold/,
    );
  });

  it('is left as it is where it has a problem that the wish does not end, and where it is no profile', () => {
    const torn = TEXT.replace('"format": 1,', '"format": 1, "colour": 1,');
    assert.match(
      changed({ kind: 'remove', id: 'fog' }, torn).why ?? '',
      /^The profile has another problem, which comes first: .*colour/,
    );
    const result = changeProfile('[]', { kind: 'remove', id: 'fog' });
    assert.ok(!result.ok);
  });
});
