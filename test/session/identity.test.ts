import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { RESTORABLE_LINES, RESTORE } from '../../shared-core/src/protocol/backup.js';
import type { Refusal } from '../../shared-core/src/protocol/common.js';
import { COMPARE } from '../../shared-core/src/protocol/compare.js';
import { PLAN_RETROFIT, type PlanRetrofitResult } from '../../shared-core/src/protocol/retrofit.js';
import { demoFile } from '../support/demo.js';
import { type ServerSession, serverSession } from '../support/serverSession.js';

const DUMP = 'file:///demo/rear-body.cfgdump';
const BACKUP = 'file:///demo/rear-body.as-found.cfgdump';
const RETROFIT = 'file:///demo/trailer-socket.retrofit.json';

/** What a backup of another vehicle, part or software level says of itself. */
const OTHERS = [
  ['@vin', '0DEM0T4X5TA020418', '0DEM0T4X3TA020417'],
  ['@part', 'RB-2041-07', 'RB-2041-09'],
  ['@software', '0311', '0299'],
  ['@vehicle', 'stock no. 2041', 'stock no. 2040'],
] as const;

describe('a backup of another', () => {
  for (const [header, here, there] of OTHERS) {
    describe(`${header.slice(1)}`, () => {
      it('is an error where the dump names it, with the place in the backup beside', async () => {
        await withBackup(header, there, async (session) => {
          const found = (await session.diagnostics(DUMP)).filter(({ code }) => code === 'backup-other-vehicle');
          assert.deepEqual(
            found.map(({ severity, range }) => [severity, range.start]),
            [[1, { line: 6, character: 8 }]],
          );
          assert.match(String(found[0]?.message), new RegExp(`"${header}" is "${there}" there and "${here}" here`));
          const related = found[0]?.relatedInformation?.[0]?.location;
          assert.equal(related?.uri, BACKUP);
          const lines = String(session.files.get(BACKUP)).split('\n');
          const { start, end } = related?.range ?? assert.fail();
          assert.equal(lines[start.line]?.slice(start.character, end.character), there);
        });
      });

      it('is refused where it would be compared with, restored from or planned with', async () => {
        await withBackup(header, there, async (session) => {
          const { connection } = session;
          for (const [request, params] of [
            [COMPARE, { uri: DUMP }],
            [RESTORABLE_LINES, { uri: DUMP }],
            [RESTORE, { uri: DUMP, labels: ['4'] }],
          ] as const) {
            const answer = await connection.sendRequest<Refusal>(request, params);
            assert.match(answer.refused ?? '', new RegExp(`"${header}" is "${there}" (there|before)`), request);
          }
          const vehicle = '0DEM0T4X5TA020418';
          const plan = await connection.sendRequest<PlanRetrofitResult>(PLAN_RETROFIT, { uri: RETROFIT, vehicle });
          assert.deepEqual([plan.edit, plan.possible], [null, false]);
          assert.match(plan.page, new RegExp(`is "${there}" there and "${here}" here`));
          await session.change(DUMP, 9, 4, 5, 'x');
          const actions = await session.actions(DUMP, 9, 4);
          assert.deepEqual(
            actions.filter(({ title }) => /backup/.test(title)),
            [],
          );
        });
      });
    });
  }

  it('is not seen where the backup does not say what the dump says, and that is said', async () => {
    await withBackup('@software', undefined, async (session) => {
      assert.deepEqual(
        (await session.diagnostics(DUMP)).map(({ code }) => code),
        ['backup-unconfirmed', 'line-sum', 'total-sum'],
      );
    });
  });
});

async function withBackup(
  header: string,
  value: string | undefined,
  run: (session: ServerSession) => Promise<void>,
): Promise<void> {
  const session = await serverSession();
  for (const name of [
    'rear-body.dump-profile.json',
    'cluster.cfgdump',
    'cluster.as-found.cfgdump',
    'cluster.dump-profile.json',
    'trailer-socket.retrofit.json',
  ])
    session.files.set(`file:///demo/${name}`, demoFile(name));
  const line = new RegExp(`^${header} .*\\n`, 'm');
  const found = demoFile('rear-body.as-found.cfgdump');
  assert.match(found, line);
  session.files.set(BACKUP, found.replace(line, value === undefined ? '' : `${header} ${value}\n`));
  await session.open(DUMP, demoFile('rear-body.cfgdump'));
  try {
    await run(session);
  } finally {
    session.close();
  }
}
