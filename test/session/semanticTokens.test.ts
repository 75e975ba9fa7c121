import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import type { SemanticTokens, SemanticTokensDelta } from 'vscode-languageserver-protocol';
import { eachToken, editsBetween } from '../../server/src/features/semanticTokens.js';
import { bindText } from '../../shared-core/src/model/index.js';
import { readProfile } from '../../shared-core/src/profile/index.js';
import { demoDump, demoFile } from '../support/demo.js';
import { NUMBERED_PROFILE, numberedList } from '../support/numberedList.js';
import { FULL_CLIENT, type ServerSession, serverSession } from '../support/serverSession.js';

const URI = 'file:///demo/rear-body.cfgdump';
const ASKS = { requests: { range: true, full: { delta: true } }, tokenTypes: [], tokenModifiers: [], formats: [] };

describe('colours by meaning', () => {
  const dump = demoDump('rear-body.cfgdump');
  /** Kinds and texts of the tokens of some rows; sums that are wrong have a mark. */
  const tokensOf = (first: number, last: number) => {
    const found: { row: number; token: string }[] = [];
    eachToken(dump, first, last, (kind, row, start, end, wrong) => {
      const text = dump.rows[row]?.text.slice(start, end);
      found.push({ row, token: `${kind}${wrong ? '!' : ''} ${text}` });
    });
    return found;
  };
  const inRow = (row: number) => tokensOf(row, row).map(({ token }) => token);

  for (const [what, row, tokens] of [
    ['a comment', 0, ['comment # Demo: estate car, rear body module work in progress: the towing electrics are in']],
    ['a header', 1, ['header @profile', 'value rear-body.dump-profile.json']],
    ['locked bytes', 8, ['label 1', 'locked 06 F4 20 41  00 01', 'sum 57']],
    ['options and a wrong sum', 11, ['label 4', 'data 08 03', 'option 21', 'data 7F  00 FF', 'sum! 88']],
    ['the one digit of an option', 13, ['label 6', 'data 7F 0', 'option 5 0C', 'data 10  F7 00', 'sum 97']],
    ['a balance place', 24, ['label 17', 'data 10 00 FF 00  FF', 'balance 5C', 'sum 75']],
    ['bytes that change by themselves', 25, ['label 18', 'volatile 00 1A', 'data 08 C1  00 55', 'sum 44']],
    ['a wrong file sum', 26, ['label total', 'sum! 21 B2']],
  ] as const) {
    it(`know ${what}`, () => assert.deepEqual(inRow(row), tokens));
  }

  it('show a header behind a comment sign as a header, sign and all', () => {
    const { profile } = readProfile('{ "format": 1, "notation": { "pattern": "L{label}  {data}" } }');
    const commented = bindText('x.txt', '# @backup x.cfgdump\n# a remark\nL01  00 01\n', profile);
    const found: string[] = [];
    eachToken(commented, 0, 1, (kind, row, start, end) => {
      found.push(`${kind} ${commented.rows[row]?.text.slice(start, end)}`);
    });
    assert.deepEqual(found, ['header # @backup', 'value x.cfgdump', 'comment # a remark']);
  });

  it('show all digits of a file sum without a blank before it as the sum', () => {
    const { profile } = readProfile(JSON.stringify(NUMBERED_PROFILE));
    const listed = bindText('x.cfgdump', numberedList(), profile);
    const row = listed.rows.findIndex(({ text }) => text.startsWith('all'));
    const found: string[] = [];
    eachToken(listed, row, row, (kind, _, start, end) => {
      found.push(`${kind} ${listed.rows[row]?.text.slice(start, end)}`);
    });
    assert.deepEqual(found, ['label all;', 'sum 3D58']);
  });

  it('take a heading of the profile for a remark, so that nothing in it looks wrong', () => {
    const notation = { pattern: '{label}: {data}', headings: ['Block: Door {skip}'] };
    const { profile, problems } = readProfile(JSON.stringify({ format: 1, notation }));
    assert.deepEqual(problems, []);
    const found: string[] = [];
    eachToken(bindText('x.txt', 'Block: Door 77\n1: 00 01\n', profile), 0, 0, (kind, _row, start, end) => {
      found.push(`${kind} ${start}-${end}`);
    });
    assert.deepEqual(found, ['comment 0-14']);
  });

  it('are the same for a part as in the whole', () => {
    const whole = tokensOf(0, dump.rows.length);
    const part = tokensOf(10, 14);
    assert.deepEqual(
      part,
      whole.filter(({ row }) => row >= 10 && row <= 14),
    );
  });
});

describe('tokens over the protocol', () => {
  it('are given for a range, for the whole, and as what changed', async () => {
    await withDemo({}, async (session) => {
      const [label, ...rest] = (await tokens(session, 'range', { range: rangeOf(11) })).data.slice(0, 10);
      assert.deepEqual([label, ...rest], [11, 1, 1, 3, 0, 0, 3, 5, 4, 0]);
      const full = await tokens(session, 'full', {});
      await session.change(URI, 11, 25, 27, 'A8');
      const delta = (await session.connection.sendRequest('textDocument/semanticTokens/full/delta', {
        textDocument: { uri: URI },
        previousResultId: full.resultId,
      })) as SemanticTokensDelta;
      const { data } = await tokens(session, 'full', {});
      const [edit] = delta.edits;
      assert.deepEqual(delta.edits, [{ start: edit?.start, deleteCount: 1, data: [0] }], 'one sum is no longer wrong');
      assert.deepEqual(applied(full.data, delta), data);
    });
  });

  it('have standard names for a client that knows no others, and own ones for ours', async () => {
    for (const [options, name] of [
      [{}, 'enumMember'],
      [{ tokens: true }, 'dumpOption'],
    ] as const) {
      await withDemo(options, async ({ initialized }) => {
        assert.ok(initialized.capabilities.semanticTokensProvider?.legend.tokenTypes.includes(name));
      });
    }
  });

  it('are not offered to a client that does not ask for them', async () => {
    const session = await serverSession(FULL_CLIENT);
    assert.equal(session.initialized.capabilities.semanticTokensProvider, undefined);
    session.close();
  });

  it('change by edits that lead from the old to the new', () => {
    const numbers = fc.array(fc.nat(3), { maxLength: 12 });
    fc.assert(
      fc.property(numbers, numbers, (before, after) => {
        assert.deepEqual(applied(before, { edits: editsBetween(before, after) }), after);
      }),
    );
  });
});

const rangeOf = (line: number) => ({ start: { line, character: 0 }, end: { line, character: 99 } });

function applied(data: readonly number[], { edits }: Pick<SemanticTokensDelta, 'edits'>): number[] {
  const result = [...data];
  for (const edit of edits) result.splice(edit.start, edit.deleteCount, ...(edit.data ?? []));
  return result;
}

function tokens({ connection }: ServerSession, what: string, params: object): Promise<SemanticTokens> {
  return connection.sendRequest(`textDocument/semanticTokens/${what}`, { textDocument: { uri: URI }, ...params });
}

async function withDemo(options: object, run: (session: ServerSession) => Promise<void>): Promise<void> {
  const textDocument = { ...FULL_CLIENT.textDocument, semanticTokens: ASKS };
  const session = await serverSession({ ...FULL_CLIENT, textDocument } as object, options);
  session.files.set('file:///demo/rear-body.dump-profile.json', demoFile('rear-body.dump-profile.json'));
  await session.open(URI, demoFile('rear-body.cfgdump'));
  try {
    await run(session);
  } finally {
    session.close();
  }
}
