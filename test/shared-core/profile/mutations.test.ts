import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { type Profile, readProfile } from '../../../shared-core/src/profile/index.js';
import { IMAGE_PROFILE, LINES_PROFILE, SEVERAL_PROFILE } from '../../support/richProfiles.js';

type Path = readonly (string | number)[];

/** All members and items below a value, with the keys that lead to them. */
function* placesIn(value: unknown, path: Path = []): Generator<readonly [path: Path, value: unknown]> {
  if (typeof value !== 'object' || value === null) return;
  for (const [key, one] of Object.entries(value)) {
    const at = [...path, Array.isArray(value) ? Number(key) : key];
    yield [at, one];
    yield* placesIn(one, at);
  }
}

/** The value as JSON, with the member or item at a path written as `write` says. */
function printed(value: unknown, path: Path, write: (key: string, json: string) => string): string {
  const [step, ...rest] = path;
  if (step === undefined || typeof value !== 'object' || value === null) return JSON.stringify(value);
  const members = Object.entries(value).map(([key, one]) => {
    const name = Array.isArray(value) ? '' : `${JSON.stringify(key)}: `;
    if (key !== String(step)) return name + JSON.stringify(one);
    return rest.length === 0 ? write(key, JSON.stringify(one)) : name + printed(one, rest, write);
  });
  return Array.isArray(value) ? `[${members.join(', ')}]` : `{ ${members.join(', ')} }`;
}

/** What a profile says, without where it says it. */
function meaningOf(profile: Profile): string {
  const { flaw: _, ...all } = profile;
  return JSON.stringify(all, (key, value: unknown) => {
    if (key === 'source' || key === 'givenAt') return undefined;
    if (value instanceof Map) return [...value];
    return typeof value === 'bigint' ? String(value) : value;
  });
}

/** Keys under which any text says something; of these, texts are no mistake. */
const TEXTS = /^(?:\$schema|title|name|group|evidence|why|unit|pattern|headings|label|id|option|profile)$/;
/** Keys under which a number may have a sign and a fraction. */
const REAL = /^(?:scale|offset|min|max|axis)$/;
/** Keys under which an empty list or object says something. */
const EMPTY =
  /^(?:options|totals|balance|locked|volatile|copies|absent|headings|needs|excludes|seen|values|flags|number)$/;

const WRONG = [
  ...['null', 'true', 'false', '-1', '-0.5', '1.5', '1e300', '9007199254740993', '"9007199254740993"', '1e-7'],
  ...['""', '" "', '"NaN"', '"-1"', '"1.5"', '"1e3"', '"0x"', '"1 "', '"0x1g"', '"½"', '"3..2"', '"2-"', '"__proto__"'],
  ...['[]', '{}', '[[]]', '[null]', '[{}]', '{"a": 1}'],
];

/** Places that differ only by which item of a list they are in take turns with the wrong values and keys: each is at every so many. */
const MOST_TURNS = 4;

/** What a place is, in whichever items of lists. */
const kindOf = (path: Path) => path.map((step) => (typeof step === 'number' ? '#' : step)).join('.');

/** Which of the wrong values and keys a place takes: of each so many one, from its turn on. */
interface Turn {
  readonly of: number;
  readonly at: number;
}

function turnsOf(paths: readonly Path[]): readonly Turn[] {
  const kinds = paths.map(kindOf);
  return kinds.map((kind, i) => ({
    of: Math.min(MOST_TURNS, kinds.filter((one) => one === kind).length),
    at: kinds.slice(0, i).filter((one) => one === kind).length,
  }));
}

const isInTurn = (index: number, { of, at }: Turn = { of: 1, at: 0 }) => (index + at) % of === 0;

function wrongValues(key: string, value: unknown, inTexts: boolean, turn?: Turn): readonly string[] {
  const json = JSON.stringify(value);
  const isText = inTexts || TEXTS.test(key);
  const fits = (one: string) =>
    (typeof value === 'boolean' && /^(?:true|false)$/.test(one)) ||
    (isText && one.startsWith('"') && !/^"\s*"$/.test(one)) ||
    (isText && !inTexts && !/^(?:id|label|pattern|profile|option)$/.test(key) && one.startsWith('"')) ||
    (REAL.test(key) && /^(?:-1|-0.5|1.5|1e-7)$/.test(one)) ||
    (EMPTY.test(key) && /^(?:\[\]|\{\})$/.test(one) && Array.isArray(value) === (one === '[]'));
  return [...WRONG, `[${json}]`, `[${json}, ${json}]`, `{"a": ${json}}`].filter(
    (one, i) => isInTurn(i, turn) && !fits(one),
  );
}

function misspelled(key: string): readonly string[] {
  const [first = '', second = ''] = key;
  return [
    ...[`${key}x`, `x${key}`, ` ${key}`, `${key} `, key.slice(1), key.slice(0, -1)],
    ...[first.toUpperCase() + key.slice(1), key.toUpperCase(), second + first + key.slice(2), `${key}\u0000`],
  ].filter((one) => one !== key && !/^\d+$/.test(one));
}

for (const [name, profile] of [
  ['lines', LINES_PROFILE],
  ['lines with labels of several numbers', SEVERAL_PROFILE],
  ['addresses', IMAGE_PROFILE],
] as const) {
  describe(`a profile in ${name} with anything wrong in it`, function () {
    this.timeout(60_000);
    const sound = readProfile(JSON.stringify(profile));
    const meaning = meaningOf(sound.profile);
    const places = [...placesIn(profile)];

    /** Each of these texts has a problem, or says the very same. */
    const allFound = (texts: readonly (readonly [what: string, text: string])[]) => {
      const missed = texts.filter(([, text]) => {
        const { profile: read, problems } = readProfile(text);
        assert.equal(read.flaw?.count ?? 0, problems.length);
        return problems.length === 0 && meaningOf(read) !== meaning;
      });
      assert.ok(texts.length > 0);
      assert.deepEqual(
        missed.map(([what]) => what),
        [],
      );
    };

    it('has nothing wrong in it to begin with', () => {
      assert.deepEqual(sound.problems, []);
      assert.equal(sound.profile.flaw, undefined);
    });

    it('a misspelled key, wherever it is', () => {
      const keys = places.filter(([path]) => typeof path.at(-1) === 'string');
      const turns = turnsOf(keys.map(([path]) => path));
      allFound(
        keys.flatMap(([path], i) =>
          misspelled(String(path.at(-1)))
            .filter((_, j) => isInTurn(j, turns[i]))
            .map((other) => {
              const text = printed(profile, path, (_, json) => `${JSON.stringify(other)}: ${json}`);
              return [`${path.join('.')} as ${other}`, text] as const;
            }),
        ),
      );
    });

    it('a key that is there twice, wherever it is and however it is written', () => {
      const keys = places.filter(([path]) => typeof path.at(-1) === 'string');
      const texts = keys.flatMap(([path]) => {
        const twice = (first: (json: string) => string, second: (json: string) => string) =>
          printed(
            profile,
            path,
            (key, json) => `${JSON.stringify(key)}: ${first(json)}, ${escaped(key)}: ${second(json)}`,
          );
        const escaped = (key: string) => `"\\u${key.charCodeAt(0).toString(16).padStart(4, '0')}${key.slice(1)}"`;
        const same = (json: string) => json;
        return [twice(same, same), twice(same, () => 'null'), twice(() => '[]', same)].map(
          (text) => [path.join('.'), text] as const,
        );
      });
      for (const [what, text] of texts) assert.notEqual(readProfile(text).profile.flaw, undefined, what);
    });

    it('a value of a wrong type, wherever it is', () => {
      const turns = turnsOf(places.map(([path]) => path));
      allFound(
        places.flatMap(([path, value], i) => {
          const last = path.at(-1);
          const above = path.filter((step) => typeof step === 'string');
          // The values of an axis are numbers of any kind.
          const list = above.at(-2) === 'axis' ? 'axis' : String(above.at(-1));
          const key = typeof last === 'string' ? last : list;
          if (above.includes('note')) return [];
          const inTexts = ['values', 'flags', 'special', 'names', 'part', 'software'].includes(String(path.at(-2)));
          const inSeen = path.at(-3) === 'seen' && ['part', 'software', 'by'].includes(key);
          return wrongValues(key, value, inTexts || inSeen, turns[i]).map((other) => {
            const text = printed(profile, path, (name) =>
              typeof last === 'string' ? `${JSON.stringify(name)}: ${other}` : other,
            );
            return [`${path.join('.')} = ${other}`, text] as const;
          });
        }),
      );
    });

    it('a note blocks nothing, and is a text or a list of texts', () => {
      const notes = places.filter(([path]) => path.at(-1) === 'note');
      assert.ok(notes.length > 0);
      for (const [path] of notes) {
        const as = (json: string) => readProfile(printed(profile, path, () => `"note": ${json}`)).problems.length;
        for (const right of ['"x"', '""', '[]', '["x", "y"]']) assert.equal(as(right), 0, `${path} ${right}`);
        for (const wrong of ['null', '1', 'true', '{}', '[1]', '[["x"]]'])
          assert.equal(as(wrong), 1, `${path} ${wrong}`);
      }
    });
  });
}
