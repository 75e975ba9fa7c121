import assert from 'node:assert/strict';
import { after, before, describe, it } from 'mocha';
import { seedOf } from '../support/dice.js';
import { type Folder, makeFolder } from '../support/folder.js';
import { runCommand } from '../support/inProcess.js';
import { trustCase } from '../support/trustCase.js';
import { randomCommand, violationsOf } from '../support/trustCommands.js';
import { harmOfOffer, offersOf, sessionOf } from '../support/trustSession.js';

/** In lots, so that one that fails ends soon. The areas `commands` and `editor` of an attack look at many more. */
const LOTS = [0, 1, 2, 3];
const CASES = 20;
const SESSIONS = 3;

describe('the law above all', () => {
  let folder: Folder;
  before(() => {
    folder = makeFolder();
  });
  after(() => folder.remove());

  for (const lot of LOTS)
    it(`lot ${lot + 1}: no command writes a protected bit, makes a right sum wrong, or changes a file and refuses`, async () => {
      const failures: string[] = [];
      const done = new Map<string, number>();
      for (let index = 0; index < CASES; index++) {
        const seed = seedOf(1, lot * CASES + index);
        const given = trustCase(seed);
        const command = randomCommand(given);
        folder.clear();
        folder.write(given.files);
        const args = command.args.map((arg) => (given.files.has(arg) || arg.startsWith('out.') ? folder.of(arg) : arg));
        const ran = await runCommand([command.name, ...args]);
        const files = folder.files();
        const said = violationsOf(given, command, given.files, files, ran);
        if (said.length > 0)
          failures.push(
            `seed ${seed} (${given.says}): ${command.name} ${command.args.join(' ')}\n    ${said.join('\n    ')}`,
          );
        const key = `${command.name} ${ran.status === 2 ? 'refused' : 'done'}`;
        done.set(key, (done.get(key) ?? 0) + 1);
      }
      assert.deepEqual(failures.slice(0, 5).join('\n'), '', `${failures.length} of ${CASES} cases`);
    }).timeout(60_000);

  for (const lot of LOTS)
    it(`lot ${lot + 1}: no edit that the editor is offered does`, async () => {
      const failures: string[] = [];
      let offered = 0;
      for (let index = 0; index < SESSIONS; index++) {
        const seed = seedOf(2, lot * SESSIONS + index);
        const given = trustCase(seed);
        const session = await sessionOf(given);
        try {
          for (const offer of await offersOf(session, given)) {
            offered++;
            const said = harmOfOffer(given, offer);
            if (said.length > 0)
              failures.push(`seed ${seed} (${given.says}): ${offer.says}\n    ${said.join('\n    ')}`);
          }
        } finally {
          session.close();
        }
      }
      assert.ok(offered > 3 * SESSIONS, `${offered} edits were offered`);
      assert.deepEqual(failures.slice(0, 5).join('\n'), '', `${failures.length} of ${offered} edits`);
    }).timeout(60_000);
});
