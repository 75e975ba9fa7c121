import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { done, type Phrase, phrase, refuse, say } from '../../../shared-core/src/base/index.js';
import {
  type Journal,
  type JournalFiles,
  journalText,
  readJournal,
  settleJournal,
  waysOut,
} from '../../../shared-core/src/jobs/index.js';
import { stageOfPlan, type WayOut } from '../../../shared-core/src/jobs/journal.js';

const NAMES = ['a.cfgdump', 'b/c.hex', 'd.txt', 'e.s19'];

const journals = fc
  .integer({ min: 2, max: NAMES.length })
  .chain((count) =>
    fc.tuple(...NAMES.slice(0, count).map((file) => fc.tuple(fc.constant(file), fc.string(), fc.string()))),
  )
  .filter((modules) => modules.every(([, before, after]) => before !== after))
  .map((modules): Journal => {
    return { host: 'x', pid: 7, modules: modules.map(([file, before, after]) => ({ file, before, after })) };
  });

/** Files in memory, of which a write is refused after so many, and a change from these texts is never proved. */
function memory(
  texts: Map<string, string>,
  writes = Number.POSITIVE_INFINITY,
  unproved: ReadonlySet<string> = new Set(),
): JournalFiles {
  let left = writes;
  return {
    read: async (file) => texts.get(file),
    prove: async ({ before }) => (unproved.has(before) ? refuse(phrase('never')) : done(undefined)),
    write: async ({ file, before, after }) => {
      if (left-- <= 0 || texts.get(file) !== before) return refuse(phrase('no'));
      texts.set(file, after);
      return done(undefined);
    },
  };
}

describe('the journal of a plan', () => {
  it('is read as it was written', () => {
    fc.assert(
      fc.property(journals, (journal) => {
        assert.deepEqual(readJournal(journalText(journal)), done(journal));
      }),
    );
  });

  it('any text is a journal or refused, and none is thrown at', () => {
    fc.assert(
      fc.property(fc.oneof(fc.string(), fc.json()), (text) => {
        assert.equal(typeof readJournal(text).ok, 'boolean');
      }),
    );
  });

  it('is refused where anything of it is other than a plan writes it, as it says what is written where', () => {
    const [a, b] = ['a.cfgdump', 'b/c.hex'].map((file) => ({ file, before: 'x', after: 'y' }));
    const whole = { format: 1, host: 'x', pid: 7, modules: [a, b] };
    const isRead = (change: object) => readJournal(JSON.stringify({ ...whole, ...change })).ok;
    assert.ok(isRead({}));
    assert.ok(isRead({ modules: [a] }));
    for (const change of [
      { format: 2 },
      { format: '1' },
      { host: 1 },
      { host: null },
      { pid: '7' },
      { pid: null },
      { modules: [] },
      { modules: {} },
      { modules: 'ab' },
      { modules: [a, a] },
      { modules: [a, { ...b, before: 'z', file: a?.file }] },
      { modules: [a, null] },
      { modules: [a, 'b'] },
      { modules: [a, []] },
      { modules: [[]] },
      { modules: [a, { ...b, more: 1 }] },
      { modules: [a, { ...b, file: 1 }] },
      { modules: [a, { ...b, before: 1 }] },
      { modules: [a, { ...b, before: undefined }] },
      { modules: [a, { ...b, after: 1 }] },
      { modules: [a, { ...b, after: 'x' }] },
      { more: 1 },
      { pid: undefined },
      { pid: undefined, more: 7 },
    ])
      assert.ok(!isRead(change), JSON.stringify(change));
    for (const file of [
      '',
      '.',
      '..',
      '../a',
      '/a',
      'a/',
      'a//b',
      'a/../b',
      'a/./b',
      '.a',
      'a/.b',
      '.a/b',
      'a\\b',
      'c:a',
      'a\0',
    ])
      assert.ok(!isRead({ modules: [{ ...a, file }] }), JSON.stringify(file));
    for (const file of ['a', 'a.b', 'a/b.c/d', 'a..b', 'ä b'])
      assert.ok(isRead({ modules: [{ ...a, file }] }), JSON.stringify(file));
    for (const text of ['', '{', 'null', '[]', '"x"', '1']) assert.ok(!readJournal(text).ok, text);
  });

  it('however far a plan came, all modules are as planned afterwards or none, also where writing fails for a while', async () => {
    await fc.assert(
      fc.asyncProperty(journals, fc.nat(5), fc.array(fc.nat(2), { maxLength: 4 }), async (journal, far, failing) => {
        const { modules } = journal;
        const texts = new Map(modules.map(({ file, before, after }, i) => [file, i < far ? after : before]));
        for (const writes of [...failing, Number.POSITIVE_INFINITY]) {
          const settled = await settleJournal(journal, memory(texts, writes));
          if (!settled.ok) continue;
          const wanted = settled.value.kind === 'finished' ? 'after' : 'before';
          for (const one of modules) assert.equal(texts.get(one.file), one[wanted]);
          if (settled.value.kind === 'dropped') assert.equal(far, 0);
          return;
        }
        assert.fail('it never ended');
      }),
    );
  });

  it('a module that somebody has changed meanwhile is never written', async () => {
    await fc.assert(
      fc.asyncProperty(journals, fc.nat(5), fc.nat(3), async (journal, far, at) => {
        const { modules } = journal;
        const own = modules[at % modules.length]?.file ?? '';
        const texts = new Map(modules.map(({ file, before, after }, i) => [file, i < far ? after : before]));
        texts.set(own, 'of its own, and no other');
        await settleJournal(journal, memory(texts));
        assert.equal(texts.get(own), 'of its own, and no other');
      }),
    );
  });

  it('where the change of one module is not proved, none is written, whichever it is', async () => {
    await fc.assert(
      fc.asyncProperty(journals, fc.integer({ min: 1, max: 3 }), fc.nat(3), async (journal, far, at) => {
        const { modules } = journal;
        if (far >= modules.length) return;
        const texts = new Map(modules.map(({ file, before, after }, i) => [file, i < far ? after : before]));
        const was = [...texts];
        const unproved = new Set([modules[at % modules.length]?.before ?? '']);
        for (const way of ['finish', 'undo'] as const)
          assert.equal((await settleJournal(journal, memory(texts, 9, unproved), way)).ok, false);
        assert.equal((await waysOut(journal, memory(texts, 9, unproved))).ok, false);
        assert.deepEqual([...texts], was);
      }),
    );
  });

  it('is undone where that is asked for, and only where the way back is proved as well', async () => {
    const modules = NAMES.slice(0, 2).map((file) => ({ file, before: `${file} before`, after: `${file} after` }));
    const journal = { host: 'x', pid: 7, modules };
    const half = () =>
      new Map([
        ...NAMES.slice(0, 1).map((file) => [file, `${file} after`] as const),
        [NAMES[1] ?? '', 'b/c.hex before'],
      ]);
    const texts = half();
    assert.deepEqual(await waysOut(journal, memory(texts)), done(['finish', 'undo']));
    const settled = await settleJournal(journal, memory(texts), 'undo');
    assert.equal(settled.ok && settled.value.kind, 'undone');
    assert.deepEqual([...texts.values()], ['a.cfgdump before', 'b/c.hex before']);
    const oneWay = new Set(['a.cfgdump after']);
    assert.deepEqual(await waysOut(journal, memory(half(), 9, oneWay)), done(['finish']));
    assert.equal((await settleJournal(journal, memory(half(), 9, oneWay), 'undo')).ok, false);
  });

  describe('of a plan that is half done', () => {
    const modules = NAMES.slice(0, 3).map((file) => ({ file, before: `${file} before`, after: `${file} after` }));
    const journal: Journal = { host: 'x', pid: 7, modules };
    const names = modules.map(({ file }) => file);
    type At = 'before' | 'after' | 'other' | undefined;
    const texts = (...stages: readonly At[]) =>
      new Map(
        modules.flatMap((one, i) => {
          const stage = stages[i];
          return stage === undefined ? [] : [[one.file, stage === 'other' ? 'own' : one[stage]] as const];
        }),
      );
    const says = (answer: { readonly ok: true } | { readonly ok: false; readonly why: Phrase }) =>
      answer.ok ? 'done' : say(answer.why);

    it('says how it ended, with the names of all modules', async () => {
      const ended = async (way: WayOut, ...stages: readonly ('before' | 'after')[]) => {
        const settled = await settleJournal(journal, memory(texts(...stages)), way);
        assert.ok(settled.ok);
        assert.deepEqual(settled.value.files, names);
        return settled.value.kind;
      };
      for (const way of ['finish', 'undo'] as const) {
        assert.equal(await ended(way, 'before', 'before', 'before'), 'dropped');
        assert.equal(await ended(way, 'after', 'after', 'after'), 'finished');
      }
      assert.equal(await ended('finish', 'after', 'before', 'before'), 'finished');
      assert.equal(await ended('undo', 'after', 'after', 'before'), 'undone');
    });

    it('says where it is on its way, and names the module that somebody changed or took away', async () => {
      const stage = async (...stages: readonly At[]) => {
        const found = await stageOfPlan(journal, memory(texts(...stages)));
        return found.kind === 'changed' ? say(found.why) : found.kind;
      };
      assert.equal(await stage('before', 'before', 'before'), 'before');
      assert.equal(await stage('after', 'after', 'after'), 'after');
      assert.equal(await stage('before', 'after', 'before'), 'half');
      assert.match(await stage('after', 'other', 'before'), /b\/c\.hex was changed since/);
      assert.match(await stage('after', 'before', undefined), /d\.txt was changed since/);
      assert.match(
        says(await waysOut(journal, memory(texts('after', 'other', 'before')))),
        /b\/c\.hex was changed since/,
      );
      assert.match(
        says(await settleJournal(journal, memory(texts('other', 'after', 'before')))),
        /a\.cfgdump was changed/,
      );
    });

    it('is undone from its end, each module from what was planned to what it was', async () => {
      const written: unknown[] = [];
      const there = texts('after', 'after', 'before');
      const files = memory(there);
      const spying: JournalFiles = {
        ...files,
        write: (module) => {
          written.push(module);
          return files.write(module);
        },
      };
      await settleJournal(journal, spying, 'undo');
      assert.deepEqual(
        written,
        [1, 0].map((i) => ({ file: names[i], before: modules[i]?.after, after: modules[i]?.before })),
      );
    });

    it('says why where it can neither be finished nor undone, and which change may not be made', async () => {
      const stuck = memory(texts('after', 'before', 'before'), 0);
      assert.match(
        says(await settleJournal(journal, stuck)),
        /^A plan was cut short here, and can neither be finished nor undone: no Correct that and try again\.$/,
      );
      assert.equal(says(await settleJournal(journal, stuck, 'undo')), 'no');
      const unproved = memory(texts('after', 'before', 'before'), 9, new Set(['b/c.hex before']));
      for (const answer of [await settleJournal(journal, unproved), await waysOut(journal, unproved)])
        assert.match(says(answer), /the change of b\/c\.hex that its journal names may not be made, .*: never Move/);
    });

    it('has one way out where all modules are as planned, or none is: then nothing is to be proved', async () => {
      const none = new Set(modules.flatMap(({ before, after }) => [before, after]));
      for (const stage of ['before', 'after'] as const)
        assert.deepEqual(await waysOut(journal, memory(texts(stage, stage, stage), 9, none)), done(['finish']));
    });
  });
});
