import assert from 'node:assert/strict';
import { afterEach, beforeEach, describe, it } from 'mocha';
import { type ServerSession, serverSession } from '../support/serverSession.js';

describe('a session over memory images', () => {
  let session: ServerSession;
  beforeEach(async () => {
    session = await serverSession();
  });
  afterEach(() => session.close());

  for (const [what, uri, text, line, title, after] of [
    [
      'a missing end record',
      'file:///car/a.hex',
      '; bench\r\n:0100000001FE',
      1,
      'Add the end record',
      '; bench\r\n:0100000001FE\r\n:00000001FF',
    ],
    [
      'a missing end of S-records with addresses of 24 bits',
      'file:///car/a.s28',
      'S205123456015D\n\n',
      0,
      'Add the end record',
      'S205123456015D\nS804000000FB\n\n',
    ],
    [
      'a wrong count, in the letter case of the writer',
      'file:///car/a.s19',
      's104000001fa\ns50300ed0f\ns9030000fc\n',
      1,
      'Right the count',
      's104000001fa\ns5030001fb\ns9030000fc\n',
    ],
    [
      'a second end record',
      'file:///car/a.hex',
      ':0100000001FE\n:00000001FF\n:00000001FF\n',
      2,
      'Empty the line of this second end record',
      ':0100000001FE\n:00000001FF\n\n',
    ],
    [
      'a wrong record sum',
      'file:///car/a.hex',
      ':01000000abff\n:00000001FF\n',
      0,
      undefined,
      ':01000000ab54\n:00000001FF\n',
    ],
  ] as const) {
    it(`rights ${what}`, async () => {
      await session.open(uri, text);
      const [problem] = await session.diagnostics(uri);
      assert.equal(problem?.range.start.line, line);
      const actions = await session.actions(uri, line, problem.range.start.character);
      const action = title === undefined ? actions[0] : actions.find((found) => found.title === title);
      assert.equal(session.after(uri, action), after);
    });
  }
});
