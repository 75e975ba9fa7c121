// Options that are entries of one table are below that table in the view of options.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { clientSession, until } from '../support/clientSession.js';

const FILES = {
  'a.cfgdump': '@profile p.dump-profile.json\n1: 02 03 04 05\n',
  'p.dump-profile.json': JSON.stringify({
    format: 1,
    lines: { from: 1, to: 1, data: 4, sum: 0 },
    options: [
      {
        id: 'curve',
        title: 'Injection',
        line: 1,
        byte: 1,
        number: { scale: 0.5, unit: 'ms' },
        repeat: { count: 3, step: 1, axis: { name: 'Engine speed', unit: 'rpm', at: [0, 500, 1000] } },
      },
      { id: 'alone', title: 'Lone option', line: 1, byte: 4, number: {} },
    ],
  }),
};

describe('the view of options', () => {
  it('has a table as one entry, with its entries by their values of the axis below it', async () => {
    const session = await clientSession(FILES);
    try {
      await session.open('a.cfgdump', 1, 6);
      const provider = session.editor.trees.get('countersum.options')?.provider;
      await until(() => (provider?.getChildren() ?? []).length > 0);
      const below = (node?: unknown) => provider?.getChildren(node) ?? [];
      const words = (node: unknown) => {
        const { label, description } = provider?.getTreeItem(node) ?? {};
        return `${String(label)}: ${String(description)}`;
      };
      const [group] = below();
      const [table, alone] = below(group);
      assert.deepEqual([table, alone].map(words), ['Injection: Engine speed 0 rpm … 1000 rpm', 'Lone option: 5']);
      const entries = below(table);
      assert.deepEqual(entries.map(words), ['0 rpm: 1 ms', '500 rpm: 1.5 ms', '1000 rpm: 2 ms']);
    } finally {
      session.stop();
    }
  });
});
