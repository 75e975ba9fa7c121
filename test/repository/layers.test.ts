import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { importsOf, importsThat, sourcesBelow } from '../support/sources.js';

/** Rooms of the core from the ground up; rooms of one storey never import each other. */
const STOREYS = [
  ['base'],
  ['checksum'],
  ['format'],
  ['profile'],
  ['image'],
  ['model'],
  ['scan'],
  ['convert'],
  ['checks', 'repair', 'options', 'compare', 'learn'],
  ['actions'],
  ['jobs'],
  ['workspace'],
  ['protocol'],
] as const;

/** Libraries that need nothing from outside themselves either, so that the core still runs anywhere. */
const LIBRARIES = /^(?:jsonc-parser|vscode-uri|@noble\/hashes\/.+)$/;

const CORE = 'shared-core/src';
const core = sourcesBelow(CORE);

/** The room a file of the core is in; undefined for the front door. */
const roomOf = (path: string) => path.slice(CORE.length + 1).match(/^(\w+)\//)?.[1];
const storeyOf = (room: string) => STOREYS.findIndex((rooms) => (rooms as readonly string[]).includes(room));

describe('the layers of the core', () => {
  it('hold every file but the front door', () => {
    const outside = core.map(({ path }) => path).filter((path) => storeyOf(roomOf(path) ?? '') < 0);
    assert.deepEqual(outside, [`${CORE}/index.ts`]);
  });

  it('import only from lower layers, siblings never from each other', () => {
    const broken = importsThat(core, ({ from, ours }, { path }) => {
      const [here, there] = [roomOf(path), roomOf(from)];
      if (!ours || here === undefined || here === there) return false;
      return there === undefined || storeyOf(there) >= storeyOf(here);
    });
    assert.deepEqual(broken, []);
  });

  it('import nothing from outside but libraries that run anywhere', () => {
    assert.deepEqual(
      importsThat(core, ({ from, ours }) => (ours ? !from.startsWith(`${CORE}/`) : !LIBRARIES.test(from))),
      [],
    );
  });

  it('keep no state: nothing at the top of a file can be assigned', () => {
    const stateful = [...core, ...sourcesBelow('server/src'), ...sourcesBelow('client/src')]
      .filter(({ text }) => /^(?:export )?(?:let|var)\s/m.test(text))
      .map(({ path }) => path);
    assert.deepEqual(stateful, []);
  });

  it('throw nothing: what is wrong is an answer', () => {
    const throwing = core
      .filter(({ text }) => /^(?!\s*(?:\*|\/\/)).*\bthrow (?:new )?\w/m.test(text))
      .map(({ path }) => path);
    assert.deepEqual(throwing, []);
  });
});

describe('the front door of the core', () => {
  it('hands on by name what client, server or command line use, and no more', () => {
    const namesIn = (text: string, from: RegExp) =>
      [...text.matchAll(from)].flatMap(([, names = '']) =>
        names.split(',').map((name) =>
          name
            .trim()
            .replace(/^type /, '')
            .replace(/ as .*$/, ''),
        ),
      );
    const door = core.find(({ path }) => path === `${CORE}/index.ts`)?.text ?? '';
    const given = namesIn(door, /export (?:type )?\{([^}]*)\} from/g).filter((name) => name !== '');
    const used = new Set(
      [...sourcesBelow('client/src'), ...sourcesBelow('server/src')].flatMap(({ text }) =>
        namesIn(text, /(?:import|export) (?:type )?\{([^}]*)\} from '[^']*shared-core\/src\/index\.js'/g),
      ),
    );
    assert.ok(given.length > 100 && !/export \*/.test(door));
    assert.deepEqual(
      given.filter((name) => !used.has(name)),
      [],
    );
  });
});

describe('imports between files', () => {
  for (const room of [CORE, 'server/src', 'client/src']) {
    it(`run in no circle in ${room}`, () => {
      const sources = sourcesBelow(room);
      assert.ok(sources.length > 0);
      const imports = new Map(sources.map((source) => [source.path, importsOf(source).map(({ from }) => from)]));
      assert.deepEqual(circlesIn(imports), []);
    });
  }
});

/** Every circle met on a walk along the imports, as "a → b → a". */
function circlesIn(imports: ReadonlyMap<string, readonly string[]>): string[] {
  const done = new Set<string>();
  const circles: string[] = [];
  const walk = (path: string, trail: readonly string[]): void => {
    if (trail.includes(path)) circles.push([...trail.slice(trail.indexOf(path)), path].join(' → '));
    if (trail.includes(path) || done.has(path)) return;
    for (const next of imports.get(path) ?? []) walk(next, [...trail, path]);
    done.add(path);
  };
  for (const path of imports.keys()) walk(path, []);
  return circles;
}
