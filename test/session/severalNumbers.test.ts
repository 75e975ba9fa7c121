import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import type {
  CompletionItem,
  DocumentHighlight,
  DocumentSymbol,
  FoldingRange,
  TextEdit,
} from 'vscode-languageserver-protocol';
import { TextDocument } from 'vscode-languageserver-textdocument';
import { CHANGES, type ChangesResult } from '../../shared-core/src/protocol/compare.js';
import { FULL_CLIENT, type ServerSession, serverSession } from '../support/serverSession.js';
import { BY_PATTERN, BY_PATTERN_TEXT, SEVERAL, SEVERAL_TEXT } from '../support/severalNumbers.js';

const FOLDER = 'file:///any/';
const CLIENT = {
  ...FULL_CLIENT,
  textDocument: {
    ...FULL_CLIENT.textDocument,
    documentSymbol: { hierarchicalDocumentSymbolSupport: true },
  },
};

const FORMS = [
  { what: 'dump text', profile: SEVERAL, text: SEVERAL_TEXT, uri: `${FOLDER}a.cfgdump` },
  { what: 'a pattern', profile: BY_PATTERN, text: BY_PATTERN_TEXT, uri: `${FOLDER}b.cfgdump` },
] as const;

describe('a label of several numbers that is written otherwise in dump text', () => {
  it('is put right by a fix', async () => {
    const session = await serverSession(CLIENT, { commands: true });
    session.files.set(`${FOLDER}p.dump-profile.json`, JSON.stringify({ format: 1, ...SEVERAL }));
    const uri = `${FOLDER}a.cfgdump`;
    const whole = `@profile p.dump-profile.json\n${SEVERAL_TEXT}`;
    await session.open(uri, whole.replace('2-1:', '02.1:'));
    const problem = (await session.diagnostics(uri)).find(({ code }) => code === 'line-unknown');
    assert.match(String(problem?.message), /knows no line 02\.1\. Is 2-1 meant\?/);
    const { line = 0, character = 0 } = problem?.range.start ?? {};
    const actions = await session.actions(uri, line, character);
    const right = actions.find(({ title }) => title === 'Write "2-1" here');
    assert.ok(right, actions.map(({ title }) => title).join('\n'));
    assert.equal(session.after(uri, right), whole, actions.map(({ title }) => title).join('\n'));
    session.close();
  });
});

for (const { what, profile, text, uri } of FORMS) {
  const head = '@profile p.dump-profile.json\n';

  /** Opens the dump as it is changed, and gives the row of a line by its beginning. */
  async function opened(
    body: string,
    check: (session: ServerSession, row: (start: RegExp) => number) => Promise<void>,
  ): Promise<void> {
    const session = await serverSession(CLIENT, { commands: true });
    session.files.set(`${FOLDER}p.dump-profile.json`, JSON.stringify({ format: 1, ...profile }));
    await session.open(uri, head + body);
    try {
      await check(session, (start) => (head + body).split('\n').findIndex((line) => start.test(line)));
    } finally {
      session.close();
    }
  }

  describe(`lines with labels of several numbers in ${what}, in the editor`, () => {
    it('are named in the outline, in hovers and by what a sum covers', () =>
      opened(text, async (session, row) => {
        assert.deepEqual(await session.diagnostics(uri), []);
        const [module] = await session.connection.sendRequest<DocumentSymbol[]>('textDocument/documentSymbol', {
          textDocument: { uri },
        });
        const names = (module?.children ?? []).map(({ name }) => name);
        // As the dump itself calls them.
        const labels = what === 'dump text' ? ['1-9', '1-10', '2-1', '10-0'] : ['B1/09', 'B1/0A', 'B2/01', 'B10/00'];
        for (const label of labels) assert.ok(names.includes(`Line ${label}`), names.join());
        const fog = row(/^B?1.(10|0A):/);
        const line = (head + text).split('\n')[fog] ?? '';
        const option = await session.hover(uri, fog, line.indexOf('01 10') + 1);
        assert.match(JSON.stringify(option), /Fog lamps/);
        const sumAt = line.indexOf('1C');
        assert.match(
          JSON.stringify(await session.hover(uri, fog, sumAt)),
          /Sum of line (?:1-10|B1\/0A).*the line number, the data bytes/,
        );
        const marks = await session.connection.sendRequest<DocumentHighlight[]>('textDocument/documentHighlight', {
          textDocument: { uri },
          position: { line: fog, character: sumAt },
        });
        const label = marks.find(({ range }) => range.start.character <= 1);
        assert.deepEqual(label?.range.end.character, line.indexOf(':'));
      }));

    it('that are missing are offered where they belong, and by the beginning of their label', () =>
      opened(text.replace(/B?1.(?:11|0B):.*\n/, '\n').replace(/B?2.0?2:.*\n/, ''), async (session, row) => {
        const empty = row(/^$/);
        const items = await session.connection.sendRequest<CompletionItem[]>('textDocument/completion', {
          textDocument: { uri },
          position: { line: empty, character: 0 },
          context: { triggerKind: 1 },
        });
        const lines = items.filter(({ label }) => /^B?[12]./.test(label));
        const [first, second] = lines;
        assert.match(first?.label ?? '', /^B?1.(11|0B): 00 00 00 (\| )?0C$/);
        assert.match(second?.label ?? '', /^B?2.0?2: 00 00 (\| )?04$/);
        assert.equal(first?.filterText, what === 'dump text' ? '1-11' : 'B1/0B');
        const edit = first?.textEdit as TextEdit;
        const document = TextDocument.create(uri, 'cfgdump', 1, head + text);
        assert.equal(document.getText().split('\n').length > 0 && edit.range.start.line, empty);
      }));

    it('that are missing are called as the dump writes the others, wherever that is said', () =>
      opened(text.replace(/B?1.(?:10|0A):.*\n/, ''), async (session) => {
        const [missing, lines] = what === 'dump text' ? ['1-10', '1-9'] : ['B1/0A', 'B1/09'];
        const problems = await session.diagnostics(uri);
        assert.ok(
          problems.some(({ message }) => message === `Line ${missing} is missing.`),
          JSON.stringify(problems),
        );
        const other = uri.replace(/(\w+)\.(\w+)$/, 'whole.$2');
        session.files.set(other, (head + text).replace('A1 B2 C3 ', 'A1 B2 C4 '));
        const changes = await session.connection.sendRequest<ChangesResult>(CHANGES, { uri, other });
        assert.deepEqual(
          changes.lines.map(({ title }) => title),
          [`Line ${lines}`, `Line ${missing} is missing`],
        );
        assert.ok(changes.remarks.includes(`Line ${missing} is missing now.`), changes.remarks.join());
      }));

    it('are named where the sums are made right by them', () =>
      opened(text.replace(/(B?2.0?1): 10 00 (\| )?13/, '$1: 11 00 $214'), async (session, row) => {
        const stored = row(/^(total|B10)/);
        const column = ((head + text).split('\n')[stored] ?? '').indexOf(': ') + 3;
        const actions = await session.actions(uri, stored, column);
        const titles = actions.map(({ title }) => title);
        const balanced = actions.find(({ title }) => /[Ll]ine (?:2-2|B2\/02)/.test(title));
        assert.ok(balanced, titles.join('\n'));
        assert.match(session.after(uri, balanced), /2.0?2: 00 04 (\| )?08/);
      }));

    it('fold as a group, and are told as changes from the backup', () =>
      opened(text, async (session, row) => {
        const folds = await session.connection.sendRequest<FoldingRange[]>('textDocument/foldingRange', {
          textDocument: { uri },
        });
        const [from, to] = [row(/^B?1.0?9:/), row(/^B?10.00?:/)];
        assert.ok(
          folds.some(({ startLine, endLine }) => startLine <= from && endLine >= to),
          JSON.stringify(folds),
        );
      }));

    it('that are wrong are marked at their place, with the fix for the line', () =>
      opened(text.replace(/0C\n/, '0D\n'), async (session, row) => {
        const [problem] = await session.diagnostics(uri);
        assert.equal(problem?.code, 'line-sum');
        assert.match(String(problem?.message), /^Line (?:1-11|B1\/0B): its sum is 0D/);
        const at = problem?.range.start;
        assert.equal(at?.line, row(/^B?1.(11|0B):/));
        const actions = await session.actions(uri, at?.line ?? 0, at?.character ?? 0);
        const right = actions.find(({ title }) => /1-11|B1\/0B/.test(title) && title.includes('0C'));
        assert.equal(session.after(uri, right), head + text, actions.map(({ title }) => title).join('\n'));
      }));
  });
}
