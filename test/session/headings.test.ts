// Lines of a dump that hold hex digits by chance: marked as a comment, or as a heading of the module.
import assert from 'node:assert/strict';
import { afterEach, beforeEach, describe, it } from 'mocha';
import { FULL_CLIENT, type ServerSession, serverSession } from '../support/serverSession.js';

const LINES = ['L1  01 02 03  07', 'L2  10 21 00  33', 'L3  20 00 41  64', 'L4  33 34 00  6B'].join('\n');
const PROFILE = JSON.stringify({
  format: 1,
  notation: { pattern: 'L{label} {data}' },
  lines: { from: 1, to: 4, data: 3, sum: 1 },
  lineSum: { method: 'add', bits: 8, over: ['label', 'data'] },
});
const textOf = (heading: string) => `@profile p.dump-profile.json\n${heading}\n${LINES}\n`;

describe('at the header that names the profile', () => {
  it('stands the command that names it in similar dumps', async () => {
    const server = await serverSession(FULL_CLIENT, { commands: true });
    server.files.set('file:///car/p.dump-profile.json', PROFILE);
    const uri = 'file:///car/a.cfgdump';
    await server.open(uri, textOf('# Door'));
    const [similar] = await server.actions(uri, 0, 3, ['refactor.rewrite']);
    assert.deepEqual(
      [similar?.title, similar?.command?.command],
      ['Use Profile in Similar Dumps', 'countersum.useForSimilar'],
    );
    assert.deepEqual(await server.actions(uri, 1, 0, ['refactor.rewrite']), []);
    server.close();
  });
});

describe('a line with hex digits that is not read', () => {
  let server: ServerSession;
  beforeEach(async () => {
    server = await serverSession(FULL_CLIENT, { commands: true });
    server.files.set('file:///car/p.dump-profile.json', PROFILE);
  });
  afterEach(() => server.close());

  const offered = async (name: string, text: string, row = 1) => {
    const uri = `file:///car/${name}`;
    server.files.set(uri, text);
    await server.open(uri, text);
    const actions = await server.actions(uri, row, 2, ['quickfix']);
    return { uri, actions, titles: actions.map(({ title }) => title), said: await server.diagnostics(uri) };
  };

  it('becomes a comment, or always a heading in this module', async () => {
    const { uri, actions, titles, said } = await offered('a.cfgdump', textOf('Door module stock 77 read 2026-11-20'));
    assert.deepEqual(titles, ['Always a Heading in This Module', 'Mark as a Comment']);
    assert.deepEqual(
      said.map(({ code }) => code),
      ['line-not-read'],
    );
    assert.equal(server.after(uri, actions[1]), textOf('# Door module stock 77 read 2026-11-20'));
    const [, heading, profile] = actions[0]?.command?.arguments ?? [];
    assert.deepEqual([heading, profile], ['Door module stock {skip} read {skip}', 'file:///car/p.dump-profile.json']);
  });

  it('is a heading together with all others, but for those that may be data', async () => {
    const heads = [
      '* Door module 77, read 2026-11-20',
      '* Part 71-04 HW 0C SW 12',
      'Stock 77 of 81',
      'CRC 304C',
      'L5 seems 304C',
    ];
    const data = ['Row 20 00 41 64', '* 20 00 41'];
    const { uri, actions, titles } = await offered('a.cfgdump', textOf([...heads, ...data].join('\n')));
    assert.deepEqual(titles, [
      'These 3 Lines Are Headings in This Module',
      'Always a Heading in This Module',
      'Mark These 3 Lines as Comments',
      'Mark as a Comment',
    ]);
    assert.deepEqual(actions[0]?.command?.arguments?.[1], [
      '* Door module {skip}, read {skip}',
      '* Part {skip} HW {skip} SW {skip}',
      'Stock {skip} of {skip}',
    ]);
    const [one, two, three, ...others] = heads;
    const marked = [`# ${one}`, `# ${two}`, `# ${three}`, ...others, ...data].join('\n');
    assert.equal(server.after(uri, actions[2]), textOf(marked));
    for (const row of [4, 5, 6, 7]) assert.deepEqual(await server.actions(uri, row, 2, ['quickfix']), [], `${row}`);
  });

  it('is offered neither where it begins as the lines do, or has the name of a sum', async () => {
    for (const [i, line] of ['L5 seems to be 304C', 'SUM 304C', 'Checksum of all 304C'].entries())
      assert.deepEqual((await offered(`b${i}.cfgdump`, textOf(line))).titles, [], line);
  });

  it('is offered no heading where it begins with no word', async () => {
    assert.deepEqual((await offered('c.cfgdump', textOf('2026-11-20 door of 77 cars'))).titles, ['Mark as a Comment']);
  });

  it('counts for all lines at once only where it can be no sum of the file; each is offered for itself', async () => {
    const [front, behind] = ['Stock 77 of 81', 'Sheet 304C'];
    const text = `${textOf(`${front}\n* Part 71-04 HW 0C`)}${behind}\n`;
    const title = (count: number) => [
      `These ${count} Lines Are Headings in This Module`,
      'Always a Heading in This Module',
      `Mark These ${count} Lines as Comments`,
      'Mark as a Comment',
    ];
    const first = await offered('d.cfgdump', text);
    assert.deepEqual(first.titles, title(2));
    assert.ok(server.after(first.uri, first.actions[2]).endsWith(`\n${behind}\n`));
    assert.deepEqual((await offered('e.cfgdump', text, 7)).titles, title(3));
  });

  it('is marked where its text begins, and of several only those with a word are headings', async () => {
    const inset = await offered('f.cfgdump', textOf('  Door module stock 77'));
    assert.equal(server.after(inset.uri, inset.actions[1]), textOf('  # Door module stock 77'));
    const number = '2026-11-20 door of 77 cars';
    const two = await offered('g.cfgdump', textOf(`Stock 77 of 81\n${number}`));
    assert.deepEqual(two.titles, [
      'Always a Heading in This Module',
      'Mark These 2 Lines as Comments',
      'Mark as a Comment',
    ]);
    const three = await offered('h.cfgdump', textOf(`Stock 77 of 81\n${number}\n* Part 71-04`));
    assert.equal(three.titles[0], 'These 2 Lines Are Headings in This Module');
    assert.equal(three.titles[2], 'Mark These 3 Lines as Comments');
  });

  it('becomes no heading where no profile is read, as there is none to keep it in', async () => {
    const lines = '1: 01 02 03\nStock 77 81\n2: 10 21 00\n3: 20 00 41\n';
    assert.deepEqual((await offered('j.cfgdump', lines)).titles, []);
    const gone = await offered('k.cfgdump', `@profile gone.dump-profile.json\n${lines}`, 2);
    assert.deepEqual(gone.titles, []);
  });

  it('is a comment though bytes are in it, where words are most of it', async () => {
    const many = 'Door module 20 00 41 12 was read on the bench of the workshop';
    const { titles, said } = await offered('l.cfgdump', textOf(many));
    assert.deepEqual(
      said.map(({ code }) => code),
      ['line-not-read'],
    );
    assert.deepEqual(titles, ['Mark as a Comment']);
  });

  it('becomes no heading in a profile with a problem, which is not written', async () => {
    server.files.set('file:///car/p.dump-profile.json', PROFILE.replace('"format":1', '"format":1,"fromat":1'));
    assert.deepEqual((await offered('i.cfgdump', textOf('Door module stock 77'))).titles, ['Mark as a Comment']);
  });

  it('in what was read back is only a heading: what was read back stays as it is', async () => {
    const { titles } = await offered('a.read-back.cfgdump', textOf('Door module stock 77 read 2026-11-20'));
    assert.deepEqual(titles, ['Always a Heading in This Module']);
  });

  it('what was read back with a wrong sum is offered no change of it, not on saving either', async () => {
    const text = textOf('# Door').replace('41  64', '41  65');
    const { uri, titles } = await offered('b.read-back.cfgdump', text, 4);
    assert.deepEqual(titles, []);
    for (const only of [undefined, ['source.fixAll.countersum'], ['refactor.rewrite']])
      assert.deepEqual(await server.actions(uri, 4, 5, only), [], `${only}`);
  });
});
