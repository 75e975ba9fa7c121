import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { restore } from '../../shared-core/src/actions/index.js';
import { say } from '../../shared-core/src/base/index.js';
import { compareDumps } from '../../shared-core/src/compare/index.js';
import { textAfter, textOfRows } from '../../shared-core/src/format/index.js';
import { planRetrofit, type VehicleDump } from '../../shared-core/src/jobs/index.js';
import { readRetrofit } from '../../shared-core/src/jobs/readRetrofit.js';
import { cellKey, presentCells, wrongTotals } from '../../shared-core/src/model/index.js';
import type { Option, Profile } from '../../shared-core/src/profile/index.js';
import { demoFile, demoProfile, dumpOf } from '../support/demo.js';

const MODULES = ['rear-body', 'cluster'] as const;
type Module = (typeof MODULES)[number];
const profileFile = (module: Module) => `${module}.dump-profile.json`;
const profiles = new Map<string, Profile>(MODULES.map((module) => [profileFile(module), demoProfile(module)]));

/** What people write for a value: mostly what the option takes, in words or as a number, and sometimes what it does not. */
function valueFor({ meaning }: Option): fc.Arbitrary<string | number> {
  const known =
    meaning.kind === 'values' || meaning.kind === 'flags' ? [...meaning.words.values()] : ['50 %', '15000 km', 20000];
  const wrong = fc.oneof(fc.constantFrom('none', '12-pin', ''), fc.integer({ min: -3, max: 300 }));
  return fc.oneof({ arbitrary: fc.constantFrom(...known), weight: 12 }, { arbitrary: wrong, weight: 1 });
}

function changeOf(module: Module) {
  const { options } = demoProfile(module);
  const setting = fc
    .constantFrom(...options)
    .chain((option) => valueFor(option).map((value) => [option.id, value] as const));
  return fc
    .array(setting, { maxLength: 3 })
    .map((set) => ({ profile: profileFile(module), set: Object.fromEntries(set) }));
}

const retrofit = fc.tuple(changeOf('rear-body'), changeOf('cluster')).map((changes) => ({ format: 1, changes }));

/** One digit of a dump or of its backup, typed over. */
const slip = fc.option(
  fc.record({
    file: fc.constantFrom('rear-body.cfgdump', 'cluster.cfgdump', 'cluster.as-found.cfgdump'),
    at: fc.nat(),
    digit: fc.constantFrom(...'0123456789ABCDEFx'),
  }),
  { freq: 2 },
);
type Slip = { readonly file: string; readonly at: number; readonly digit: string } | null;

function dumpsWith(slipped: Slip): readonly VehicleDump[] {
  const textOf = (name: string) => {
    const text = demoFile(name);
    if (slipped?.file !== name) return text;
    const start = text.search(/^ ?1:/m) + 4;
    const at = start + (slipped.at % (text.length - start));
    return text.slice(0, at) + slipped.digit + text.slice(at + 1);
  };
  const dumps: VehicleDump[] = MODULES.map((module) => {
    const profile = demoProfile(module);
    const backup = dumpOf(textOf(`${module}.as-found.cfgdump`), profile);
    return {
      file: module,
      name: `${module}.cfgdump`,
      dump: dumpOf(textOf(`${module}.cfgdump`), profile),
      profileFile: profileFile(module),
      profile: { kind: 'read' },
      backup: { kind: 'read', dump: backup },
      modules: (path) => dumps.filter((one) => one.profileFile === path),
    };
  });
  return dumps;
}

describe('laws of plans', () => {
  it('whatever is asked for of whatever dumps: all modules are planned whole, or none and it is said why', () => {
    let planned = 0;
    fc.assert(
      fc.property(retrofit, slip, (asked, slipped) => {
        const { retrofit: read } = readRetrofit(JSON.stringify(asked));
        const dumps = dumpsWith(slipped);
        const before = dumps.map(({ dump }) => textOfRows(dump.rows));
        const plan = planRetrofit(read ?? assert.fail(), (file) => ({ file, profile: profiles.get(file) }), dumps);
        assert.deepEqual(
          dumps.map(({ dump }) => textOfRows(dump.rows)),
          before,
        );
        if (plan.kind === 'refused') {
          assert.ok(plan.refusals.length > 0);
          for (const { module, why } of plan.refusals) assert.ok(module !== '' && say(why).length > 20, say(why));
          return;
        }
        planned++;
        assert.equal(plan.modules.length, 2);
        for (const { file, before: dump, change } of plan.modules) {
          const { after, edits, writes } = change;
          assert.deepEqual([after.wrongSums, wrongTotals(after)], [[], []]);
          assert.equal(textAfter(dump.rows, edits), textOfRows(after.rows));
          const locked = new Set(
            dump.profile.locked.flatMap(({ place }) => presentCells(dump.layout, place)).map(cellKey),
          );
          assert.ok(writes.every((write) => !locked.has(cellKey(write))));
          const planned = { ...(dumps.find((one) => one.file === file) ?? assert.fail()), dump: after };
          const back = restore(planned);
          assert.ok(back.ok && planned.backup.kind === 'read');
          assert.equal(compareDumps(planned.backup.dump, back.value.after).identical, true);
        }
      }),
      { numRuns: 300 },
    );
    assert.ok(planned > 20, `planned ${planned} times`);
  });
});
