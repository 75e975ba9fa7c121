import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import {
  keepingConditions,
  newlyUnmet,
  refuseUnmet,
  refuseUnneeded,
  type Stand,
  unmetAfter,
} from '../../../shared-core/src/actions/conditions.js';
import { fix } from '../../../shared-core/src/actions/repair.js';
import { done, phrase, refuse, say } from '../../../shared-core/src/base/index.js';
import type { Dump } from '../../../shared-core/src/model/index.js';
import { loaded, SOUND } from '../../support/loaded.js';
import { lines, profileOf } from '../../support/smallDumps.js';

const OTHER = 'q.dump-profile.json';
const values = { 0: 'no', 1: 'yes' };
const option = (id: string, line: number, more: object = {}) => ({ id, title: id, line, byte: 1, values, ...more });
/** A lamp that needs the tow bar and goes with no roof, a horn that needs something of another module. */
const PROFILE = profileOf({
  lines: { from: 1, to: 4, data: 1, sum: 0 },
  options: [
    option('lamp', 1, {
      values: { ...values, 2: 'often' },
      needs: [{ option: 'tow', in: [1] }],
      excludes: [{ option: 'roof', in: [1] }],
    }),
    option('tow', 2),
    option('roof', 3),
    option('horn', 4, { needs: [{ profile: OTHER, option: 'x', in: [1] }] }),
  ],
});
const OTHERS = profileOf({ lines: { from: 1, to: 1, data: 1, sum: 0 }, options: [option('x', 1)] });
/** The dump with these values of the four options, and the other module with this value of its own; undefined where it is not here. */
const stand = (lamp: number, tow: number, roof: number, horn = 0, x?: number): Stand => ({
  dump: lines(PROFILE, [lamp, tow, roof, horn].map((value, i) => `${i + 1}: 0${value}\n`).join('')),
  modules: () => (x === undefined ? [] : [{ file: 'b', name: 'b', dump: lines(OTHERS, `1: 0${x}\n`) }]),
});
const said = (unmet: ReturnType<typeof newlyUnmet>) => unmet.map(({ condition, why }) => [condition.option, say(why)]);
const NEEDS = ['tow', 'lamp "yes" needs tow at "yes"; it is "no".'];
const EXCLUDES = ['roof', 'lamp "yes" does not go with roof at "yes"; it is "yes".'];

describe('conditions that a step does not keep', () => {
  it('are those of an option that it changes, also where they were broken before', () => {
    assert.deepEqual(said(unmetAfter(stand(0, 0, 0), stand(1, 0, 0), [])), [NEEDS]);
    assert.deepEqual(said(unmetAfter(stand(0, 0, 1), stand(1, 0, 1), ['lamp'])), [NEEDS, EXCLUDES]);
    assert.deepEqual(said(unmetAfter(stand(0, 1, 0), stand(1, 1, 0), ['lamp'])), []);
    const often = NEEDS.map((one) => one.replace('"yes" needs', '"often" needs'));
    assert.deepEqual(said(unmetAfter(stand(1, 0, 0), stand(2, 0, 0), [])), [often]);
  });

  it('are those of an option that is asked for and is so already', () => {
    assert.deepEqual(said(unmetAfter(stand(1, 0, 0), stand(1, 0, 0), ['lamp'])), [NEEDS]);
  });

  it('are those of another option that only this step breaks, and none that was broken before', () => {
    assert.deepEqual(said(unmetAfter(stand(1, 1, 0), stand(1, 0, 0), ['tow'])), [NEEDS]);
    assert.deepEqual(said(unmetAfter(stand(1, 0, 0), stand(1, 0, 1), ['roof'])), [EXCLUDES]);
    assert.deepEqual(said(unmetAfter(stand(1, 0, 0, 0), stand(1, 0, 0, 1, 1), ['horn'])), []);
    assert.deepEqual(said(newlyUnmet(stand(1, 0, 0), stand(1, 0, 1))), [EXCLUDES]);
    assert.deepEqual(said(newlyUnmet(stand(1, 0, 1), stand(1, 0, 0))), []);
    assert.deepEqual(said(newlyUnmet(stand(0, 0, 0), stand(1, 0, 0))), [NEEDS]);
  });

  it('are those that nobody could see and that are seen broken now, or the other way round', () => {
    const unseen = newlyUnmet(stand(0, 0, 0, 1, 1), stand(0, 0, 0, 1));
    assert.match(said(unseen)[0]?.[1] ?? '', /no dump of that module of this vehicle is here/);
    assert.deepEqual(said(newlyUnmet(stand(0, 0, 0, 1), stand(0, 0, 0, 1))), []);
    const broken = newlyUnmet(stand(0, 0, 0, 1), stand(0, 0, 0, 1, 0));
    assert.match(said(broken)[0]?.[1] ?? '', /^horn "yes" needs x at "yes" in b; it is "no" there/);
  });
});

describe('what a person accepts by name', () => {
  const unmet = unmetAfter(stand(0, 0, 1), stand(1, 0, 1), ['lamp']);

  it('is asked for, each option once, until all are accepted', () => {
    const asked = refuseUnmet([...unmet, ...unmet]);
    assert.deepEqual(asked?.asks, { kind: 'despite', options: ['tow', 'roof'] });
    assert.equal(say(asked?.why ?? phrase('')), [NEEDS, EXCLUDES, NEEDS, EXCLUDES].map(([, why]) => why).join(' '));
    assert.deepEqual(refuseUnmet(unmet, ['tow'])?.asks, { kind: 'despite', options: ['roof'] });
    assert.equal(refuseUnmet(unmet, ['tow', 'roof']), undefined);
    assert.equal(refuseUnmet([]), undefined);
  });

  it('is a mistake where it was typed and nothing asks for it', () => {
    const why = (despite: readonly string[], isTyped?: boolean, of = unmet) => {
      const refused = refuseUnneeded(of, { despite, ...(isTyped === undefined ? {} : { isTyped }) });
      return refused === undefined ? '' : say(refused.why);
    };
    assert.equal(
      why(['tow', 'horn'], true),
      'No condition on horn is unmet. Leave it out: only tow, roof has to be accepted.',
    );
    assert.equal(
      why(['horn'], true, []),
      'No condition on horn is unmet, so there is nothing to accept. Leave it out.',
    );
    assert.equal(why(['tow', 'roof'], true), '');
    assert.equal(why([], true), '');
    assert.equal(refuseUnneeded(unmet, { isTyped: true }), undefined);
    for (const isTyped of [false, undefined]) assert.equal(why(['horn'], isTyped), '');
  });
});

describe('a change that only corrects sums', () => {
  const keeping = (before: Stand, after: Stand) => {
    const { dump, modules } = before;
    const change = fix({ ...loaded(dump, SOUND), modules }, { totals: 'none' });
    assert.ok(change.ok);
    return keepingConditions(before, done({ ...change.value, after: after.dump }));
  };

  it('is refused where its balancing breaks a condition, and is made where none is broken anew', () => {
    const refused = keeping(stand(1, 1, 0), stand(1, 0, 0));
    assert.equal(
      refused.ok ? '' : say(refused.why),
      `Balancing would break a condition. ${NEEDS[1]} Balance with another line.`,
    );
    assert.equal(keeping(stand(1, 0, 0), stand(1, 0, 0)).ok, true);
    const no = refuse(phrase('no'));
    assert.equal(keepingConditions(stand(1, 1, 0), no), no);
  });

  it('is refused where its balancing takes from another module of the vehicle what that needs', () => {
    const asked = (x: number) => lines(OTHERS, `1: 0${x}\n`);
    const horn = stand(0, 0, 0, 1).dump;
    const modulesWith = (dump: Dump) => () => [{ file: 'b', name: 'b', dump }];
    const subject = { ...loaded(asked(1), SOUND), dependents: [{ dump: horn, modulesWith }] };
    const nothing = fix(subject, { totals: 'none' });
    assert.ok(nothing.ok);
    const holding = (x: number) => keepingConditions(subject, done({ ...nothing.value, after: asked(x) }));
    const refused = holding(0);
    assert.match(
      refused.ok ? '' : say(refused.why),
      /^Balancing would break a condition\. horn "yes" needs x at "yes" in b; it is "no" there/,
    );
    assert.equal(holding(1).ok, true);
  });
});
