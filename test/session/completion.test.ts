import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import type { CompletionItem, InlineCompletionItem, TextEdit } from 'vscode-languageserver-protocol';
import { TextDocument } from 'vscode-languageserver-textdocument';
import { demoFile } from '../support/demo.js';
import { FULL_CLIENT, serverSession } from '../support/serverSession.js';

const FOLDER = 'file:///demo/';
const FILES = [
  'rear-body.dump-profile.json',
  'cluster.dump-profile.json',
  'rear-body.as-found.cfgdump',
  'cluster.as-found.cfgdump',
];
const CLIENT = {
  ...FULL_CLIENT,
  textDocument: {
    ...FULL_CLIENT.textDocument,
    completion: { completionItem: { labelDetailsSupport: true } },
    inlineCompletion: {},
  },
};

interface Completed {
  readonly items: CompletionItem[];
  /** The line of the cursor after the item with this label was taken. */
  readonly taking: (label: string) => string | undefined;
  readonly inline: string[];
  readonly resolve: (item: CompletionItem | undefined) => Promise<CompletionItem>;
}

/** Completes at the `‸` of a text. */
async function at(text: string, check: (completed: Completed) => void | Promise<void>, how: At = {}): Promise<void> {
  const session = await serverSession(how.client ?? CLIENT, { commands: true });
  for (const name of FILES) session.files.set(FOLDER + name, demoFile(name));
  session.files.set(`${FOLDER}cluster.cfgdump`, `@fitted towing\n${demoFile('cluster.cfgdump')}`);
  for (const [name, file] of Object.entries(how.files ?? {})) session.files.set(FOLDER + name, file);
  const uri = FOLDER + (how.name ?? 'rear-body.cfgdump');
  const plain = text.replace('‸', '');
  const document = TextDocument.create(uri, 'cfgdump', 1, plain);
  const params = {
    textDocument: { uri },
    position: document.positionAt(text.indexOf('‸')),
    context: { triggerKind: how.typed === undefined ? 1 : 2, triggerCharacter: how.typed },
  };
  await session.open(uri, plain);
  const { connection } = session;
  try {
    const items = await connection.sendRequest<CompletionItem[]>('textDocument/completion', params);
    const inline = await connection.sendRequest<InlineCompletionItem[]>('textDocument/inlineCompletion', params);
    await check({
      items,
      taking: (label) => {
        const item = items.find((found) => found.label === label);
        if (item === undefined) return undefined;
        const after = TextDocument.applyEdits(document, [item.textEdit as TextEdit]);
        return after.split('\n')[params.position.line];
      },
      inline: inline.map(({ insertText }) => String(insertText)),
      resolve: (item) => connection.sendRequest('completionItem/resolve', item),
    });
  } finally {
    session.close();
  }
}

interface At {
  readonly name?: string;
  readonly typed?: string;
  readonly client?: typeof FULL_CLIENT;
  readonly files?: Readonly<Record<string, string>>;
}

const labels = (items: readonly CompletionItem[]) => items.map(({ label }) => label);
const DEMO = demoFile('rear-body.cfgdump');

describe('completion in a dump', () => {
  it('offers no sum and no line by a profile that has a problem', async () => {
    const name = 'rear-body.dump-profile.json';
    const flawed = { [name]: demoFile(name).replace('"hazard"', '"hazrd"') };
    const [noSum, noTotal] = [DEMO.replace(/ 5: (.*) \| .*/, ' 5: $1‸'), DEMO.replace(/^total: .*/m, '‸')];
    for (const text of [noSum, noTotal]) {
      const offered = (files: At['files'] = {}) => {
        let found: readonly string[] = [];
        return at(
          text,
          ({ items, inline }) => {
            found = [...labels(items).filter((label) => !label.startsWith('@')), ...inline];
          },
          { files },
        ).then(() => found);
      };
      assert.notDeepEqual(await offered(), []);
      assert.deepEqual(await offered(flawed), []);
    }
  });

  it('offers headers that are not there yet, with what each says', () =>
    at(DEMO.replace('\n 1:', '@ta‸\n 1:'), ({ items, taking }) => {
      assert.ok(labels(items).includes('@fitted') && !labels(items).includes('@vin'));
      assert.match(items.find(({ label }) => label === '@taken')?.labelDetails?.description ?? '', /when it was read/);
      assert.equal(taking('@taken'), '@taken ');
    }));

  it('offers the profiles of the workspace, those with a like name first, and says what each is of', () =>
    at(
      '@profile ‸\n',
      async ({ items, taking, resolve }) => {
        assert.deepEqual(labels(items), ['rear-body.dump-profile.json', 'cluster.dump-profile.json']);
        assert.equal(taking('cluster.dump-profile.json'), '@profile cluster.dump-profile.json');
        assert.equal((await resolve(items[0])).documentation, 'Rear body module (demo)');
      },
      { typed: ' ' },
    ));

  it('offers dumps as backups, but not the dump itself, and tells sealed ones', () =>
    at('@backup clu‸ster\n', async ({ items, taking, resolve }) => {
      assert.deepEqual(labels(items), ['rear-body.as-found.cfgdump', 'cluster.as-found.cfgdump', 'cluster.cfgdump']);
      assert.equal(taking('rear-body.as-found.cfgdump'), '@backup rear-body.as-found.cfgdump');
      assert.match(String((await resolve(items[0])).documentation), /^Sealed\. · stock no\. 2041/);
    }));

  it('writes paths through other folders', () =>
    at(
      '@profile ‸',
      ({ items }) => {
        assert.equal(items[0]?.label, '../rear-body.dump-profile.json');
      },
      { name: 'cars/rear-body.cfgdump' },
    ));

  it('offers what other dumps of the same vehicle and the same equipment say', async () => {
    await at('@profile x.dump-profile.json\n@vin ‸', ({ items, taking }) => {
      assert.deepEqual(
        items.map(({ label, labelDetails }) => [label, labelDetails?.description]),
        [['0DEM0T4X5TA020418', 'cluster.cfgdump']],
      );
      assert.equal(taking('0DEM0T4X5TA020418'), '@vin 0DEM0T4X5TA020418');
    });
    await at('@fitted led to‸ sun\n', ({ taking }) => assert.equal(taking('towing'), '@fitted led towing sun'));
    await at('@part ‸', ({ items }) => assert.deepEqual(items, []));
  });

  it('offers the values of an option at its digit, and writes that digit alone', () =>
    at(DEMO.replace('08 03 21', '08 03 ‸21'), ({ items, taking }) => {
      assert.deepEqual(
        items.map(({ label, labelDetails }) => `${label} ${labelDetails?.description}`),
        ['0 Trailer socket: none', '1 Trailer socket: 7-pin', '2 Trailer socket: 13-pin ←'],
      );
      assert.equal(taking('1'), ' 4: 08 03 11 7F  00 FF | 88');
      assert.match(String(items[0]?.documentation), /[Ll]ight/);
    }));

  it('offers what fits the field where an option shares its digit with other bits', () =>
    at(DEMO.replace('7F 05 0C', '7F 05‸ 0C'), ({ taking }) => {
      assert.equal(taking('9'), ' 6: 7F 09 0C 10  F7 00 | 97');
    }));

  it('offers nothing for locked bytes and for plain data, and nothing when a blank is typed among bytes', async () => {
    await at(DEMO.replace('06 F4 20', '06 ‸F4 20'), ({ items }) => assert.deepEqual(items, []));
    await at(DEMO.replace('7F 7F 08', '7F ‸7F 08'), ({ items }) => assert.deepEqual(items, []));
    await at(DEMO.replace('08 03 21', '08 03 ‸21'), ({ items }) => assert.deepEqual(items, []), { typed: ' ' });
  });

  it('offers lines that are missing, as in the backup and with the sum right', () =>
    at(
      DEMO.replace(' 7: 7F 7F 08 58  00 00 | 5F', '‸').replace('18: 00 1A 08 C1  00 55 | 44\n', ''),
      ({ items, taking }) => {
        const lines = items.filter(({ label }) => !label.startsWith('@'));
        assert.deepEqual(labels(lines), ['7: 7F 7F 08 58  00 00 | 5F', '18: 00 1A 08 C1  00 55 | 44']);
        assert.equal(taking('7: 7F 7F 08 58  00 00 | 5F'), ' 7: 7F 7F 08 58  00 00 | 5F');
        assert.equal(lines[0]?.labelDetails?.description, 'as in the backup');
      },
    ));

  it('offers a missing line with all bytes 00 where there is no backup, and a missing file sum', async () => {
    await at(DEMO.replace(/@backup.*\n/, '').replace(/ 7: .*/, '7‸'), ({ taking }) => {
      assert.equal(taking('7: 00 00 00 00  00 00 | 01'), ' 7: 00 00 00 00  00 00 | 01');
    });
    await at(DEMO.replace('total: 21 B2', '‸'), ({ taking }) => assert.equal(taking('total: 21 D2'), 'total: 21 D2'));
  });

  for (const [typed, rest] of [
    ['', ' | A8'],
    [' ', '| A8'],
    [' | ', 'A8'],
    ['|', 'A8'],
    ['  ', '| A8'],
  ] as const) {
    it(`offers the sum of a line, in the list and as grey text, behind "${typed}"`, () =>
      at(DEMO.replace('08 03 21 7F  00 FF | 88', `08 03 21 7F  00 FF${typed}‸`), ({ items, inline, taking }) => {
        assert.deepEqual(inline, [rest]);
        assert.deepEqual(labels(items), ['A8']);
        assert.equal(taking('A8'), ` 4: 08 03 21 7F  00 FF${typed}${rest}`);
      }));
  }

  for (const [before, behind, line] of [
    ['', ' | ', '| A8'],
    [' ', '| ', '| A8'],
    [' ', '|', '| A8'],
    [' ', '| # checked', '| A8 # checked'],
    [' | ', '', '| A8'],
  ] as const) {
    it(`puts one bar alone into a line with "${before}" before the cursor and "${behind}" behind it`, () =>
      at(DEMO.replace('08 03 21 7F  00 FF | 88', `08 03 21 7F  00 FF${before}‸${behind}`), ({ items, taking }) => {
        assert.deepEqual(labels(items), ['A8']);
        assert.equal(taking('A8'), ` 4: 08 03 21 7F  00 FF ${line}`);
      }));
  }

  it('offers no sum behind a comment, or where one is there', async () => {
    await at(DEMO.replace('08 03 21 7F  00 FF | 88', '08 03 21 7F  00 FF # x‸'), ({ inline }) =>
      assert.deepEqual(inline, []),
    );
    await at(DEMO.replace('| 88', '| 88‸'), ({ inline }) => assert.deepEqual(inline, []));
  });

  it('offers no header that would swallow a comment', async () => {
    await at(`‸# read twice\n${DEMO}`, ({ items }) => assert.deepEqual(items, []));
    await at('; @‸ read twice\n:00000001FF\n', ({ items }) => assert.deepEqual(items, []), { name: 'a.hex' });
  });

  it('offers headers of images in comments alone', async () => {
    const end = ':00000001FF\n';
    await at(`; @‸\n${end}`, ({ taking }) => assert.equal(taking('@start'), '; @start '), { name: 'a.hex' });
    await at(`‸\n${end}`, ({ items }) => assert.deepEqual(items, []), { name: 'a.hex' });
  });

  it('says in words what a client without a place behind labels shows as detail', () =>
    at('@v‸', ({ items }) => assert.match(items[0]?.detail ?? '', /a path from here/), { client: FULL_CLIENT }));
});

describe('completion in profiles and retrofits', () => {
  const profile = demoFile('rear-body.dump-profile.json');
  const inProfile = { name: 'rear-body.dump-profile.json' };

  it('offers options of this profile, their values, and files of others', async () => {
    await at(
      profile.replace('"option": "rear-fog-cutout"', '"option": "‸"'),
      ({ items, taking }) => {
        assert.equal(items[0]?.label, 'rear-fog-cutout');
        assert.equal(items[0]?.labelDetails?.description, 'Rear fog lamp off with trailer');
        assert.match(taking('tailgate') ?? '', /"option": "tailgate", "in"/);
      },
      inProfile,
    );
    await at(
      profile.replace('"in": [1, 2]', '"in": [‸]'),
      ({ items }) => {
        assert.deepEqual(
          items.map(({ label, labelDetails }) => `${label} ${labelDetails?.description}`),
          ['0 none', '1 7-pin', '2 13-pin'],
        );
      },
      inProfile,
    );
    await at(
      profile.replace('"option": "rear-fog-cutout"', '"profile": "‸", "option": "rear-fog-cutout"'),
      ({ items }) => {
        assert.deepEqual(labels(items), ['cluster.dump-profile.json']);
      },
      inProfile,
    );
  });

  it('offers names of CRCs from the catalogue, also in a text that is torn', () =>
    at(
      '{ "lineSum": { "method": "crc", "model": "‸"',
      ({ items, taking }) => {
        assert.ok(items.length > 20);
        assert.equal(taking('CRC-8/SMBUS'), '{ "lineSum": { "method": "crc", "model": "CRC-8/SMBUS"');
      },
      inProfile,
    ));

  it('offers the names of slots', () =>
    at(
      '{ "slots": [{ "name": "record" }, { "name": "other" }], "options": [{ "id": "a", "slot": "‸"',
      ({ items, taking }) => {
        assert.deepEqual(labels(items), ['record', 'other']);
        assert.match(taking('other') ?? '', /"slot": "other"$/);
      },
      inProfile,
    ));

  it('offers modules, options and words in a retrofit', async () => {
    const retrofit = (profile: string, set: string) =>
      `{ "format": 1, "changes": [{ "profile": ${profile}, "set": { ${set} } }] }`;
    const name = 'towing.retrofit.json';
    const module = '"rear-body.dump-profile.json"';
    await at(retrofit('"‸"', ''), ({ items }) => assert.equal(items.length, 2), { name });
    await at(retrofit(module, '"‸": ""'), ({ items }) => assert.equal(items[0]?.label, 'trailer-socket'), { name });
    await at(
      retrofit(module, '"trailer-socket": "‸"'),
      ({ items }) => {
        assert.deepEqual(labels(items), ['none', '7-pin', '13-pin']);
      },
      { name },
    );
  });
});
