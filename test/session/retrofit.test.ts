import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import type { TextDocumentEdit, WorkspaceEdit } from 'vscode-languageserver-protocol';
import {
  RESTORABLE_LINES,
  RESTORE,
  type RestorableLine,
  type RestoreResult,
} from '../../shared-core/src/protocol/backup.js';
import type { Refusal } from '../../shared-core/src/protocol/common.js';
import { PLAN_RETROFIT, type PlanRetrofitResult, RETROFIT_VEHICLES } from '../../shared-core/src/protocol/retrofit.js';
import { demoFile } from '../support/demo.js';
import type { MemoryFile } from '../support/memoryHost.js';
import { type ServerSession, serverSession } from '../support/serverSession.js';
import { LINES, LINES_TEXT } from '../support/smallDumps.js';

const URI = 'file:///demo/trailer-socket.retrofit.json';

describe('a retrofit in the editor', () => {
  it('of the demo has no problem', async () => {
    await withRetrofit(demoFile('trailer-socket.retrofit.json'), async (session) => {
      assert.deepEqual(await session.diagnostics(URI), []);
    });
  });

  it('is marked where its profiles do not know what it asks for', async () => {
    const text = demoFile('trailer-socket.retrofit.json')
      .replace('"trailer-socket": "13-pin"', '"trailer-sockt": "13-pin"')
      .replace('"shown"', '"always"')
      .replace('"rear-body.dump-profile.json"', '"rear-body.dump-profile.json" ');
    await withRetrofit(text, async (session) => {
      const found = await session.diagnostics(URI);
      assert.deepEqual(
        found.map(({ code, message, range }) => [
          code,
          text.split('\n')[range.start.line]?.slice(range.start.character, range.end.character),
          message,
        ]),
        [
          [
            'retrofit-invalid',
            '"trailer-sockt"',
            'The profile has no option "trailer-sockt"; "trailer-socket" is probably meant.',
          ],
          [
            'retrofit-invalid',
            '"always"',
            '"always" is no value of Trailer tell-tale. It takes not shown (0), shown (1).',
          ],
        ],
      );
    });
    await withRetrofit(text.replace('"cluster.', '"clutter.'), async (session) => {
      const messages = (await session.diagnostics(URI)).map(({ message }) => message);
      assert.match(messages.join('\n'), /no profile "clutter\.dump-profile\.json" beside this retrofit/);
    });
  });

  it('that is torn is marked once', async () => {
    await withRetrofit('{"format": 1, "changes": [', async (session) => {
      assert.deepEqual(
        (await session.diagnostics(URI)).map(({ code }) => code),
        ['retrofit-unreadable'],
      );
    });
  });
});

async function withRetrofit(text: string, run: (session: ServerSession) => Promise<void>): Promise<void> {
  const session = await serverSession();
  for (const name of ['rear-body', 'cluster'])
    session.files.set(`file:///demo/${name}.dump-profile.json`, demoFile(`${name}.dump-profile.json`));
  await session.open(URI, text);
  try {
    await run(session);
  } finally {
    session.close();
  }
}

describe('a profile whose conditions name another module', () => {
  const PROFILE = 'file:///demo/cluster.dump-profile.json';

  it('is marked where that module has no such option, and says nothing where its profile is not there', async () => {
    const text = demoFile('cluster.dump-profile.json');
    for (const [name, wanted] of [
      ['trailer-socket', []],
      ['trailer-sockt', [/^rear-body\.dump-profile\.json has no option "trailer-sockt"; "trailer-socket" is probably/]],
    ] as const) {
      const session = await serverSession();
      await session.open(PROFILE, text.replace('"trailer-socket"', `"${name}"`));
      assert.deepEqual(await session.diagnostics(PROFILE), []);
      session.close();
      const together = await serverSession();
      together.files.set('file:///demo/rear-body.dump-profile.json', demoFile('rear-body.dump-profile.json'));
      await together.open(PROFILE, text.replace('"trailer-socket"', `"${name}"`));
      const found = await together.diagnostics(PROFILE);
      assert.equal(found.length, wanted.length);
      wanted.forEach((pattern, at) => {
        assert.match(String(found[at]?.message), pattern);
      });
      together.close();
    }
  });
});

describe('needs across the modules of a vehicle', () => {
  const CLUSTER = 'file:///demo/cluster.cfgdump';
  const REAR = 'file:///demo/rear-body.cfgdump';
  const SHOWN = demoFile('cluster.cfgdump').replace('0210 3800 | 60', '1210 3800 | 50');
  const NO_SOCKET = demoFile('rear-body.cfgdump').replace('08 03 21', '08 03 01');

  it('are broken where the other module goes against them, with its place beside', async () => {
    await withCluster(SHOWN, { 'rear-body.cfgdump': NO_SOCKET }, async (session) => {
      const found = await needs(session);
      assert.deepEqual(
        found.map(({ message }) => message),
        [
          'Trailer tell-tale "shown" needs Trailer socket at "7-pin", "13-pin" in rear-body.cfgdump; it is "none" there.',
        ],
      );
      assert.deepEqual(found[0]?.relatedInformation?.[0]?.location, {
        uri: REAR,
        range: { start: { line: 11, character: 10 }, end: { line: 11, character: 11 } },
      });
    });
  });

  it('are held where it agrees, and follow its text while it is open and changes', async () => {
    await withCluster(SHOWN, { 'rear-body.cfgdump': demoFile('rear-body.cfgdump') }, async (session) => {
      assert.deepEqual(await needs(session), []);
      await session.open(REAR, demoFile('rear-body.cfgdump'));
      await session.change(REAR, 11, 10, 11, '0');
      assert.equal((await needs(session)).length, 1);
    });
  });

  it('are broken where one of several dumps of that module goes against them, and none that agrees has the right sums', async () => {
    for (const second of [demoFile('rear-body.cfgdump'), NO_SOCKET]) {
      await withCluster(SHOWN, { 'first.cfgdump': NO_SOCKET, 'second.cfgdump': second }, async (session) =>
        assert.equal((await needs(session)).length, 1),
      );
    }
  });

  it('say nothing of dumps of other vehicles, and of what was found before the work began', async () => {
    const others = {
      'other.cfgdump': NO_SOCKET.replace(/@vin .*/, '@vin 0DEM0T4X3TA020417'),
      'rear-body.as-found.cfgdump': demoFile('rear-body.as-found.cfgdump'),
    };
    await withCluster(SHOWN, others, async (session) => assert.deepEqual(await needs(session), []));
  });

  async function withCluster(
    text: string,
    others: Readonly<Record<string, string>>,
    run: (session: ServerSession) => Promise<void>,
  ): Promise<void> {
    const session = await serverSession();
    for (const name of ['rear-body', 'cluster'])
      session.files.set(`file:///demo/${name}.dump-profile.json`, demoFile(`${name}.dump-profile.json`));
    for (const [name, content] of Object.entries(others)) session.files.set(`file:///demo/${name}`, content);
    await session.open(CLUSTER, text);
    try {
      await run(session);
    } finally {
      session.close();
    }
  }

  const needs = async (session: ServerSession) =>
    (await session.diagnostics(CLUSTER)).filter(({ code }) => code === 'option-needs');
});

describe('the plan of a retrofit over a workspace', () => {
  const NAMES = [
    'rear-body.cfgdump',
    'rear-body.as-found.cfgdump',
    'rear-body.dump-profile.json',
    'cluster.cfgdump',
    'cluster.as-found.cfgdump',
    'cluster.dump-profile.json',
    'trailer-socket.retrofit.json',
  ];

  it('finds the vehicle by its VIN, leaving out what is sealed', async () => {
    await withFolder({}, async ({ connection }) => {
      assert.deepEqual(await connection.sendRequest(RETROFIT_VEHICLES, { uri: URI }), [
        {
          id: '0DEM0T4X5TA020418',
          title: 'stock no. 2041',
          vin: '0DEM0T4X5TA020418',
          dumps: ['file:///demo/cluster.cfgdump', 'file:///demo/rear-body.cfgdump'],
          changed: ['file:///demo/cluster.cfgdump', 'file:///demo/rear-body.cfgdump'],
        },
      ]);
    });
  });

  it('is one edit over all modules, of the versions that are open', async () => {
    await withFolder({}, async (session) => {
      await session.open('file:///demo/rear-body.cfgdump', demoFile('rear-body.cfgdump'));
      const { edit, page, possible } = await planIt(session);
      assert.equal(possible, true);
      const { documentChanges } = edit as WorkspaceEdit;
      assert.deepEqual(
        (documentChanges as TextDocumentEdit[]).map(({ textDocument }) => [textDocument.uri, textDocument.version]),
        [
          ['file:///demo/rear-body.cfgdump', 1],
          ['file:///demo/cluster.cfgdump', null],
        ],
      );
      assert.match(page, /Trailer tell-tale: not shown → \*\*shown\*\*/);
    });
  });

  it('asks about each module and option from what to what, and says what is a guess', async () => {
    const profile = demoFile('cluster.dump-profile.json');
    const guessed = profile.replace('"confidence": "confirmed"', '"confidence": "guess"');
    assert.notEqual(guessed, profile);
    await withFolder({ 'cluster.dump-profile.json': guessed }, async (session) => {
      const { inFull, cautions } = await planIt(session);
      // Options of the one are set already, and its sums are brought right.
      assert.match(inFull[0] ?? '', /^rear-body\.cfgdump: 3 bytes change: Line 4, byte 7: /);
      assert.deepEqual(inFull.slice(1), ['cluster.cfgdump: Trailer tell-tale: from not shown to shown']);
      assert.match(cautions.join('\n'), /What the profile says of Trailer tell-tale is unconfirmed \(guess\)\./);
    });
  });

  it('that is refused says why, and gives no edit for any module', async () => {
    const broken = { 'cluster.as-found.cfgdump': demoFile('cluster.as-found.cfgdump').replace('FF44', 'FF45') };
    await withFolder(broken, async (session) => {
      const { edit, page, possible } = await planIt(session);
      assert.deepEqual([edit, possible], [null, false]);
      assert.match(page, /cannot be done yet/);
      assert.match(page, /seal of the backup is broken/);
    });
  });

  it('is refused where two dumps are for one module', async () => {
    await withFolder({ 'copy.cfgdump': demoFile('cluster.cfgdump') }, async (session) => {
      const { edit, page } = await planIt(session);
      assert.equal(edit, null);
      assert.match(page, /Several dumps of this vehicle are for this module/);
    });
  });

  it('is refused where nobody can tell whether a dump is another one of a module', async () => {
    const unexplained = {
      'misspelt.cfgdump': demoFile('cluster.cfgdump').replace('cluster.dump-', 'clusterr.dump-'),
      'unnamed.cfgdump': demoFile('cluster.cfgdump').replace(/^@profile.*\n/m, ''),
    };
    for (const [name, text] of Object.entries(unexplained))
      await withFolder({ [name]: text }, async (session) => {
        const { edit, possible, page } = await planIt(session);
        assert.deepEqual([edit, possible], [null, false]);
        assert.match(page, new RegExp(`${name.replace('.', '\\.')} may be another dump of this module`));
      });
  });

  it('takes the dump in work where the read-backs of the module lie beside it', async () => {
    const reading = demoFile('cluster.cfgdump').replace(/^@backup.*/m, '@taken 2026-03-02T11:00:00Z');
    await withFolder({ 'cluster.read-back.cfgdump': reading }, async (session) => {
      const { edit, possible } = await planIt(session);
      assert.equal(possible, true);
      const { documentChanges } = edit as WorkspaceEdit;
      assert.deepEqual(
        (documentChanges as TextDocumentEdit[]).map(({ textDocument }) => textDocument.uri),
        ['file:///demo/rear-body.cfgdump', 'file:///demo/cluster.cfgdump'],
      );
    });
  });

  describe('with a module whose profile extends that of the retrofit, or one that does', () => {
    const [BASE, EARLY, LATE] = ['rear-body', 'early', 'late'].map((name) => `${name}.dump-profile.json`) as [
      string,
      string,
      string,
    ];
    const VARIANTS = {
      [EARLY]: JSON.stringify({
        ...{ format: 1, extends: BASE, title: 'Early ones' },
        options: [{ id: 'trailer-socket', values: { 1: '13-pin', 2: '7-pin' } }],
      }),
      [LATE]: JSON.stringify({ format: 1, extends: EARLY }),
    };
    const bodies = (profile: string) => {
      const found = demoFile('rear-body.as-found.cfgdump')
        .replace(/^@seal.*\n/m, '')
        .replace(BASE, profile);
      const inWork = found.replace(/^@taken.*/m, '@backup rear-body.as-found.cfgdump');
      return { 'rear-body.as-found.cfgdump': found, 'rear-body.cfgdump': inWork };
    };
    const REAR = 'file:///demo/rear-body.cfgdump';
    const digitsOf = (edit: PlanRetrofitResult['edit']) =>
      ((edit as WorkspaceEdit | null)?.documentChanges as TextDocumentEdit[] | undefined)?.map(
        ({ textDocument, edits }) => [
          textDocument.uri.split('/').at(-1),
          edits.map((one) => ('newText' in one ? one.newText : '')),
        ],
      );

    it('it finds the vehicle, and plans by what the variant itself says of its options', async () => {
      const planned = new Map<string, unknown>();
      for (const profile of [BASE, EARLY, LATE])
        await withFolder({ ...VARIANTS, ...bodies(profile) }, async (session) => {
          const vehicles = await session.connection.sendRequest<readonly { dumps: readonly string[] }[]>(
            RETROFIT_VEHICLES,
            { uri: URI },
          );
          assert.ok(vehicles.some(({ dumps }) => dumps.includes(REAR)));
          assert.deepEqual(await session.diagnostics(URI), []);
          const { edit, possible, page } = await planIt(session);
          assert.equal(possible, true, page);
          assert.match(page, /Trailer socket: none → \*\*13-pin\*\*/);
          planned.set(profile, digitsOf(edit));
        });
      assert.notDeepEqual(planned.get(BASE), planned.get(EARLY));
      assert.deepEqual(planned.get(LATE), planned.get(EARLY));
    });

    it('it goes by the variant as it is open, and by what it extends, typed and not saved', async () => {
      await withFolder({ ...VARIANTS, ...bodies(LATE) }, async (session) => {
        await session.open(REAR, bodies(LATE)['rear-body.cfgdump']);
        const typed = (text = '') => session.open(`file:///demo/${EARLY}`, text);
        const before = digitsOf((await planIt(session)).edit);
        assert.ok(before !== undefined);
        await typed(VARIANTS[EARLY]?.replace('Early ones', 'Early'));
        assert.deepEqual(digitsOf((await planIt(session)).edit), before);
        await session.connection.sendNotification('textDocument/didClose', {
          textDocument: { uri: `file:///demo/${EARLY}` },
        });
        await typed(VARIANTS[EARLY]?.replace('"1":"13-pin"', '"1":"both"'));
        const refused = await planIt(session);
        assert.deepEqual([refused.edit, refused.possible], [null, false]);
        assert.match(refused.page, /"13-pin" is no value of Trailer socket/);
      });
    });

    it('it is refused where two of them are for one module, or where what a variant extends cannot be read', async () => {
      const early = { 'copy.cfgdump': bodies(LATE)['rear-body.cfgdump'] };
      await withFolder({ ...VARIANTS, ...bodies(BASE), ...early }, async (session) => {
        const { edit, page } = await planIt(session);
        assert.equal(edit, null);
        assert.match(page, /Several dumps of this vehicle are for this module/);
      });
      const torn = { ...VARIANTS, [EARLY]: '{ "format": 1, ' };
      await withFolder({ ...torn, ...bodies(LATE) }, async (session) => {
        const { edit, possible } = await planIt(session);
        assert.deepEqual([edit, possible], [null, false]);
      });
    });
  });

  it('is refused by name for a file that cannot be read, as it may be a module of the vehicle', async () => {
    await withFolder({ 'neighbour.cfgdump': { fails: 'EACCES' } }, async (session) => {
      const refused = { refused: 'neighbour.cfgdump cannot be read: not allowed.' };
      assert.deepEqual(await session.connection.sendRequest(RETROFIT_VEHICLES, { uri: URI }), refused);
      assert.deepEqual(await planIt(session), refused);
    });
  });

  it('is refused by name for a retrofit that has a problem', async () => {
    const text = demoFile('trailer-socket.retrofit.json').replace('"format": 1', '"format": 2');
    await withFolder({ 'trailer-socket.retrofit.json': text }, async ({ connection }) => {
      const { refused } = await connection.sendRequest<Refusal>(RETROFIT_VEHICLES, { uri: URI });
      assert.match(refused, /^trailer-socket\.retrofit\.json has problems; correct them first\. This form of retrofit/);
    });
  });

  const planIt = ({ connection }: ServerSession) =>
    connection.sendRequest<PlanRetrofitResult>(PLAN_RETROFIT, { uri: URI, vehicle: '0DEM0T4X5TA020418' });

  async function withFolder(
    changed: Readonly<Record<string, MemoryFile>>,
    run: (session: ServerSession) => Promise<void>,
  ): Promise<void> {
    const session = await serverSession();
    for (const name of NAMES) session.files.set(`file:///demo/${name}`, demoFile(name));
    for (const [name, text] of Object.entries(changed)) session.files.set(`file:///demo/${name}`, text);
    try {
      await run(session);
    } finally {
      session.close();
    }
  }
});

describe('the way back', () => {
  const REAR = 'file:///demo/rear-body.cfgdump';

  it('names the lines that differ, and takes chosen ones back', async () => {
    await withRear(async (session) => {
      const lines = await session.connection.sendRequest<readonly RestorableLine[]>(RESTORABLE_LINES, { uri: REAR });
      assert.deepEqual(lines, [{ label: '4', title: 'Line 4', detail: 'byte 3 from 21 to 01 (option)' }]);
      const { edit } = await session.connection.sendRequest<RestoreResult>(RESTORE, { uri: REAR, labels: ['4'] });
      const text = session.after(REAR, { title: '', edit: edit as WorkspaceEdit });
      assert.match(text, /^ 4: 08 03 01 7F {2}00 FF \| 88$/m);
    });
  });

  it('is refused where there is nothing to take back, or no backup', async () => {
    await withRear(async (session) => {
      await session.change(REAR, 11, 10, 11, '0');
      assert.deepEqual(await session.connection.sendRequest(RESTORABLE_LINES, { uri: REAR }), {
        refused: 'This dump holds the same bytes as its backup.',
      });
      session.files.delete('file:///demo/rear-body.as-found.cfgdump');
      await session.open('file:///demo/lone.cfgdump', '1: 00\n');
      const answer = await session.connection.sendRequest<Refusal>(RESTORABLE_LINES, {
        uri: 'file:///demo/lone.cfgdump',
      });
      assert.match(answer.refused, /names no backup/);
    });
  });

  it('is not "the same bytes" where an image starts elsewhere', async () => {
    const session = await serverSession();
    const dumpUri = 'file:///demo/a.hex';
    const whole = (start: string) => `:0400000001020304F2\n${start}:00000001FF\n`;
    session.files.set('file:///demo/p.dump-profile.json', '{"format":1,"addresses":{"from":0,"to":3}}');
    const profile = '; @profile p.dump-profile.json\n';
    session.files.set('file:///demo/b.hex', whole(':0400000500000000F7\n') + profile);
    await session.open(dumpUri, `${whole(':0400000500000001F6\n')}${profile}; @backup b.hex\n`);
    try {
      const answer = await session.connection.sendRequest<Refusal>(RESTORABLE_LINES, { uri: dumpUri });
      assert.doesNotMatch(answer.refused, /same bytes/);
      assert.match(answer.refused, /Start address: 0000 → 0001/);
    } finally {
      session.close();
    }
  });

  it('offers no line that holds a file sum beside those that it covers, as it goes with them', async () => {
    const session = await serverSession();
    const [uri, head] = ['file:///demo/a.cfgdump', '@profile p.dump-profile.json\n'];
    session.files.set('file:///demo/p.dump-profile.json', JSON.stringify({ format: 1, ...LINES }));
    session.files.set('file:///demo/b.cfgdump', head + LINES_TEXT);
    const on = `${head}@backup b.cfgdump\n${LINES_TEXT.replace('01 10 00 | 11', '00 10 00 | 10')}`;
    const offered = async () =>
      (await session.connection.sendRequest<readonly RestorableLine[]>(RESTORABLE_LINES, { uri })).map(
        ({ label }) => label,
      );
    try {
      await session.open(uri, on.replace('02 27', '02 26'));
      const labels = await offered();
      assert.deepEqual(labels, ['2']);
      const { edit, says } = await session.connection.sendRequest<RestoreResult>(RESTORE, {
        ...{ uri, labels, unconfirmed: true },
      });
      assert.equal(says, 'Every byte is as in the backup again.');
      const text = session.after(uri, { title: '', edit: edit as WorkspaceEdit });
      assert.equal(text.replace(/^@.*\n/gm, ''), LINES_TEXT);
      // Where it alone differs, it is what is wrong.
      await session.change(uri, 3, 3, 5, '01');
      await session.change(uri, 3, 14, 16, '11');
      assert.deepEqual(await offered(), ['total']);
    } finally {
      session.close();
    }
  });

  it('says after it whether every byte is as in the backup', async () => {
    await withRear(async (session) => {
      await session.change(REAR, 20, 4, 5, '1');
      const lines = await session.connection.sendRequest<readonly RestorableLine[]>(RESTORABLE_LINES, { uri: REAR });
      const labels = lines.map(({ label }) => label);
      assert.equal(labels.length, 2);
      const restore = async (chosen: readonly string[]) =>
        (await session.connection.sendRequest<RestoreResult>(RESTORE, { uri: REAR, labels: chosen })).says;
      assert.equal(await restore(labels), 'Every byte is as in the backup again.');
      assert.equal(await restore(labels.slice(0, 1)), '1 lines are as in the backup again; 1 still differ.');
    });
  });

  async function withRear(run: (session: ServerSession) => Promise<void>): Promise<void> {
    const session = await serverSession();
    for (const name of ['rear-body.dump-profile.json', 'rear-body.as-found.cfgdump'])
      session.files.set(`file:///demo/${name}`, demoFile(name));
    await session.open(REAR, demoFile('rear-body.cfgdump'));
    try {
      await run(session);
    } finally {
      session.close();
    }
  }
});
