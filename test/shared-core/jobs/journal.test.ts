import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import {
  done,
  type Journal,
  type JournalFiles,
  journalText,
  phrase,
  readJournal,
  refuse,
  settleJournal,
  waysOut,
} from '../../../shared-core/src/index.js';

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
});
