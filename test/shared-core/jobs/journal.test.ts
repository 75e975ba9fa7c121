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

/** Files in memory, of which a write is refused after so many. */
function memory(texts: Map<string, string>, writes = Number.POSITIVE_INFINITY): JournalFiles {
  let left = writes;
  return {
    read: async (file) => texts.get(file),
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
});
