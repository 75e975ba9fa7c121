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

/** The room that a file of the core is in. */
const roomOf = (path: string) => path.slice(CORE.length + 1).match(/^(\w+)\//)?.[1];
const isDoor = (path: string) => path === `${CORE}/${roomOf(path)}/index.ts`;
const storeyOf = (room: string) => STOREYS.findIndex((rooms) => (rooms as readonly string[]).includes(room));

describe('the layers of the core', () => {
  it('hold every file', () => {
    const outside = core.map(({ path }) => path).filter((path) => storeyOf(roomOf(path) ?? '') < 0);
    assert.deepEqual(outside, []);
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

describe('the doors of the core', () => {
  const namesIn = (text: string, from: RegExp) =>
    [...text.matchAll(from)].flatMap(([, names = '']) =>
      names.split(',').flatMap(
        (name) =>
          name
            .trim()
            .replace(/^type /, '')
            .replace(/ as .*$/, '') || [],
      ),
    );
  const doors = core.filter(({ path }) => isDoor(path));

  it('are for those outside: no file of the core goes through one', () => {
    assert.deepEqual(
      importsThat(core, ({ from }) => isDoor(from)),
      [],
    );
  });

  it('hand on by name what client, server or command line use of their room, and no more', () => {
    const outside = [...sourcesBelow('client/src'), ...sourcesBelow('server/src')];
    assert.ok(doors.length > 10);
    for (const { path, text } of doors) {
      const room = roomOf(path);
      const from = new RegExp(`(?:import|export) (?:type )?\\{([^}]*)\\} from '[^']*${CORE}/${room}/index\\.js'`, 'g');
      const used = new Set(outside.flatMap((source) => namesIn(source.text, from)));
      const given = namesIn(text, /export (?:type )?\{([^}]*)\} from '\.\//g);
      assert.ok(given.length > 0 && !/export \*|from '\.\.\//.test(text), path);
      assert.deepEqual(
        given.filter((name) => !used.has(name)),
        [],
        path,
      );
    }
  });

  it('are small: tens of names each', () => {
    const counts = doors.map(({ path, text }) => ({
      path,
      names: namesIn(text, /export (?:type )?\{([^}]*)\} from/g).length,
    }));
    assert.deepEqual(
      counts.filter(({ names }) => names >= 100),
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
