// A car of a fleet as its plan says it: each rule of its row by the least that shows it, and the whole page of a small fleet.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { phrase, say } from '../../../shared-core/src/base/index.js';
import {
  asWritten,
  fleetPage,
  fleetRow,
  reasonsOf,
  rowWithoutPlan,
  vehiclesOf,
} from '../../../shared-core/src/jobs/index.js';
import type { Plan } from '../../../shared-core/src/jobs/plan.js';
import type { Retrofit } from '../../../shared-core/src/jobs/retrofit.js';
import { bindText } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';

const RETROFIT = {
  title: 'Lamps *all*',
  changes: [{ profile: 'a.json' }, { profile: 'b.json' }],
  cautions: ['Only by trained people'],
} as unknown as Retrofit;
const profileAt = (path: string) => ({ file: `file:///${path}`, profile: undefined });

type Dumps = Parameters<typeof fleetRow>[2]['dumps'];
const dump = (module: string, name = `${module}.cfgdump`) =>
  ({ file: `file:///${name}`, name, profileFile: `file:///${module}.json` }) as Dumps[number];
const [A, B] = [dump('a'), dump('b')];

const made = ({ file, name }: Dumps[number], edits: number) =>
  ({ file, name, change: { edits: Array.from({ length: edits }) } }) as unknown as (Plan & {
    kind: 'planned';
  })['modules'][number];
const planned = (...modules: ReturnType<typeof made>[]): Plan => ({ kind: 'planned', modules, aside: [] });
const refused = (...refusals: readonly (readonly [module: string, why: string])[]): Plan => ({
  kind: 'refused',
  refusals: refusals.map(([module, why]) => ({ module, why: phrase('{0}', why) })),
  titles: new Map(),
  aside: [],
});
const rowOf = (plan: Plan, dumps: Dumps = [A, B]) => fleetRow(RETROFIT, profileAt, { id: 'X1', dumps }, 'Car', plan);
const statesOf = ({ state, modules }: ReturnType<typeof rowOf>) => [state, ...modules.map((cell) => cell.state)];

describe('the row of a car', () => {
  it('is done where nothing changes in any module, and possible where something does', () => {
    assert.deepEqual(statesOf(rowOf(planned(made(A, 0), made(B, 0)))), ['done', 'done', 'done']);
    assert.deepEqual(statesOf(rowOf(planned(made(A, 1), made(B, 0)))), ['possible', 'possible', 'done']);
    assert.deepEqual(statesOf(rowOf(planned(made(A, 2), made(B, 1)))), ['possible', 'possible', 'possible']);
    const [first] = RETROFIT.changes;
    const ofOne = { changes: first === undefined ? [] : [first] };
    const alone = (edits: number) =>
      fleetRow(ofOne, profileAt, { id: 'X1', dumps: [A] }, 'Car', planned(made(A, edits)));
    assert.deepEqual(
      [statesOf(alone(0)), statesOf(alone(1))],
      [
        ['done', 'done'],
        ['possible', 'possible'],
      ],
    );
  });

  it('is never done by a plan that does not tell of a module, or of another dump of it, or where there is none', () => {
    assert.deepEqual(statesOf(rowOf(planned(made(A, 0)))), ['in-the-way', 'done', 'waits']);
    assert.deepEqual(statesOf(rowOf(planned(made(A, 1), made(dump('c'), 0)))), ['in-the-way', 'possible', 'waits']);
    assert.deepEqual(statesOf(rowOf(planned(made(B, 0), made(B, 0)))), ['in-the-way', 'waits', 'done']);
    const empty = fleetRow({ changes: [] }, profileAt, { id: 'X1', dumps: [] }, 'Car', planned());
    assert.notEqual(empty.state, 'done');
  });

  it('says at each module what is in its way, by its profile or its file, and the rest of the car', () => {
    const row = rowOf(refused(['a.json', 'one'], ['b.cfgdump', 'two'], ['b.json', 'three'], ['c.cfgdump', 'four']));
    assert.deepEqual(statesOf(row), ['in-the-way', 'in-the-way', 'in-the-way']);
    assert.deepEqual(
      row.modules.map(({ why }) => why.map((one) => say(one))),
      [['one'], ['two', 'three']],
    );
    assert.deepEqual(
      row.why.map((one) => say(one)),
      ['four'],
    );
    assert.deepEqual(
      row.modules.map(({ names, plan }) => [names, plan]),
      [
        [['a.cfgdump'], undefined],
        [['b.cfgdump'], undefined],
      ],
    );
    assert.deepEqual(statesOf(rowOf(refused(['a.json', 'one']))), ['in-the-way', 'in-the-way', 'waits']);
    assert.deepEqual(
      reasonsOf(row).map((one) => say(one)),
      ['four', 'a.cfgdump: one', 'b.cfgdump: two', 'b.cfgdump: three'],
    );
    // Of several dumps none is meant.
    const several = rowOf(refused(['a.json', 'one']), [A, dump('a', 'other.cfgdump')]);
    assert.deepEqual(
      reasonsOf(several).map((one) => say(one)),
      ['a.json: one'],
    );
  });

  it('becomes written where it was possible, and stays as it is otherwise', () => {
    const row = asWritten(rowOf(planned(made(A, 1), made(B, 0))));
    assert.deepEqual(statesOf(row), ['written', 'written', 'done']);
    const stopped = rowWithoutPlan(RETROFIT, { title: 'Car', id: undefined }, 'unread', [phrase('torn')]);
    assert.deepEqual(statesOf(asWritten(stopped)), ['unread', 'waits', 'waits']);
  });
});

describe('the vehicles of some dumps', () => {
  const at = (path: string, head: string) => ({
    ...{ file: `file:///${path}`, name: path.split('/').at(-1) ?? '', profileFile: 'file:///p.json' },
    dump: bindText('a.cfgdump', `${head}1: 00\n`, EMPTY_PROFILE),
  });

  it('are told by their VIN, else by what people call them, else by the file, and called by what people do', () => {
    const of = (head: string) => {
      const [only, ...others] = vehiclesOf([at('a.cfgdump', head)]);
      assert.deepEqual(others, []);
      return [only?.id, only?.title, only?.vin];
    };
    const vin = '0DEM0T4X5TA020418';
    assert.deepEqual(of(`@vin ${vin}\n@vehicle car 7\n`), [vin, 'car 7', vin]);
    assert.deepEqual(of(`@vin ${vin}\n`), [vin, vin, vin]);
    assert.deepEqual(of('@vehicle car 7\n'), ['car 7', 'car 7', undefined]);
    assert.deepEqual(of(''), ['file:///a.cfgdump', 'a.cfgdump', undefined]);
  });

  it('have dumps of one name named with as many of their folders as tell them apart', () => {
    const names = (...paths: readonly string[]) =>
      vehiclesOf(paths.map((path) => at(path, '@vehicle car 7\n'))).flatMap(({ dumps }) =>
        dumps.map(({ name }) => name),
      );
    assert.deepEqual(names('7/body/a.cfgdump', '7/door/a.cfgdump', '7/door/b.cfgdump'), [
      'body/a.cfgdump',
      'door/a.cfgdump',
      'b.cfgdump',
    ]);
    assert.deepEqual(names('7/new/body/a.cfgdump', '7/old/body/a.cfgdump'), [
      'new/body/a.cfgdump',
      'old/body/a.cfgdump',
    ]);
  });
});

it('The page of a fleet shows each car with its modules, counts them, and says what is in the way', () => {
  const page = say(
    fleetPage(RETROFIT, profileAt, [
      rowOf(planned(made(A, 0), made(B, 0))),
      rowOf(planned(made(A, 1), made(B, 0))),
      asWritten(rowOf(planned(made(A, 1), made(B, 0)))),
      rowOf(refused(['a.json', 'no *backup*'])),
      rowWithoutPlan(RETROFIT, { title: 'Car_9', id: undefined }, 'unread', [phrase('torn')]),
    ]),
  );
  assert.equal(
    page,
    `# Plan: Lamps \\*all\\*

| car | a.json | b.json | all modules |
| --- | --- | --- | --- |
| Car | done | done | done |
| Car | possible | done | possible |
| Car | written | done | written |
| Car | in the way | waits | in the way |
| Car\\_9 | waits | waits | cannot be read |

Cars that are as planned already: 1, written now: 1, possible: 1, with something in the way: 1, that cannot be read: 1

## In the way

### Car

- a.cfgdump: no \\*backup\\*

### Car\\_9

- torn

## Cautions

- Only by trained people
`,
  );
  const calm = say(fleetPage({ ...RETROFIT, cautions: [] }, profileAt, [rowOf(planned(made(A, 0), made(B, 0)))]));
  assert.doesNotMatch(calm, /##/);
  assert.match(
    calm,
    /already: 1, written now: 0, possible: 0, with something in the way: 0, that cannot be read: 0\n$/,
  );
});
