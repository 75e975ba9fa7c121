import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import * as vscode from 'vscode';

const folder = () => (vscode.workspace.workspaceFolders as readonly [vscode.WorkspaceFolder])[0].uri;
const file = (name: string) => vscode.Uri.joinPath(folder(), name);

async function open(name: string): Promise<vscode.TextDocument> {
  const document = await vscode.workspace.openTextDocument(file(name));
  await vscode.window.showTextDocument(document);
  return document;
}

/** Resolves as soon as `holds` does, looking again after each event of the editor. */
function when(event: vscode.Event<unknown>, holds: () => boolean): Promise<void> {
  return new Promise((resolve) => {
    const look = () => {
      if (!holds()) return;
      subscription.dispose();
      resolve();
    };
    const subscription = event(look);
    look();
  });
}

/** Each code leads to what explains it. */
const codes = (uri: vscode.Uri) =>
  vscode.languages
    .getDiagnostics(uri)
    .map(({ code }) =>
      typeof code === 'object' && code.target.path.endsWith(`/problem/${code.value}`) ? code.value : undefined,
    );

const hasCodes = (uri: vscode.Uri, wanted: readonly string[]) =>
  when(vscode.languages.onDidChangeDiagnostics, () => codes(uri).join() === wanted.join());

async function actionsAt(
  uri: vscode.Uri,
  line: number,
  column: number,
  kind?: vscode.CodeActionKind,
): Promise<vscode.CodeAction[]> {
  const at = new vscode.Range(line, column, line, column);
  return vscode.commands.executeCommand<vscode.CodeAction[]>('vscode.executeCodeActionProvider', uri, at, kind?.value);
}

describe('the main job in the real editor', () => {
  it('marks the wrong line sum and the wrong file sum of the demo', async () => {
    const { uri } = await open('rear-body.cfgdump');
    await hasCodes(uri, ['line-sum', 'total-sum']);
    const [lineSum] = vscode.languages.getDiagnostics(uri);
    assert.deepEqual(lineSum?.range, new vscode.Range(11, 25, 11, 27));
  });

  it('offers to rebalance by numbers, with the place of the profile first', async () => {
    const { uri } = await open('rear-body.cfgdump');
    const titles = (await actionsAt(uri, 26, 8, vscode.CodeActionKind.QuickFix)).map(({ title }) => title);
    assert.equal(titles[0], 'Rebalance file sum using line 17: byte 6 from 5C to 3C');
    assert.ok(titles.includes('Rebalance file sum using another line…'));
  });

  it('offers the values of the option under the cursor', async () => {
    const { uri } = await open('rear-body.cfgdump');
    const titles = (await actionsAt(uri, 11, 10)).map(({ title }) => title);
    assert.ok(
      titles.includes('Set Trailer socket to 7-pin (sums kept right) ⚠ affects the lighting'),
      titles.join('; '),
    );
  });

  it('makes all sums right in one step that one undo takes back', async () => {
    const document = await open('rear-body.cfgdump');
    const before = document.getText();
    const actions = await actionsAt(document.uri, 26, 8, vscode.CodeActionKind.QuickFix);
    const everything = actions.find(({ title }) => title.startsWith('Correct all checksums'));
    assert.ok(everything?.edit);
    await vscode.workspace.applyEdit(everything.edit);
    await hasCodes(document.uri, []);
    assert.match(document.lineAt(24).text, /^17: 10 00 FF 00 {2}FF 3C \| 55$/);
    await vscode.commands.executeCommand('undo');
    assert.equal(document.getText(), before);
  });

  it('makes sums right and nothing else: an unknown option value is not for this command to change', async () => {
    const sound = (await open('cluster.cfgdump')).getText().replace('total: 0A BB', 'total: 0A B5');
    const copy = file('unknown-value.cfgdump');
    await vscode.workspace.fs.writeFile(copy, new TextEncoder().encode(sound));
    const document = await open('unknown-value.cfgdump');
    await hasCodes(copy, ['option-value']);
    await vscode.commands.executeCommand('countersum.correctChecksums');
    assert.equal(document.getText(), sound);
  });

  it('tells the option, its value and the backup on hover', async () => {
    const { uri } = await open('rear-body.cfgdump');
    const text = await hoverText(uri, 11, 11);
    assert.match(text, /Trailer socket/);
    assert.match(text, /13-pin ← now/);
    assert.match(text, /In the backup: `01`/);
  });

  it('rights sums on saving without touching data', async () => {
    const document = await open('cluster.cfgdump');
    const [fix] = await vscode.commands.executeCommand<vscode.CodeAction[]>(
      'vscode.executeCodeActionProvider',
      document.uri,
      new vscode.Range(0, 0, document.lineCount, 0),
      'source.fixAll.countersum',
    );
    assert.ok(fix?.edit);
    const changed = fix.edit.get(document.uri).map(({ range }) => range.start.line);
    assert.deepEqual([...new Set(changed)], [20]);
  });

  it('compares with the backup: the backup left, the dump right; of the lines, only bytes differ', async () => {
    const document = await open('rear-body.cfgdump');
    await vscode.commands.executeCommand('countersum.compareWithBackup');
    await when(
      vscode.window.tabGroups.onDidChangeTabs,
      () => vscode.window.tabGroups.activeTabGroup.activeTab?.input instanceof vscode.TabInputTextDiff,
    );
    const input = vscode.window.tabGroups.activeTabGroup.activeTab?.input;
    assert.ok(input instanceof vscode.TabInputTextDiff);
    const { original, modified } = input;
    assert.equal(modified.toString(), document.uri.toString());
    assert.match(original.path, /rear-body\.as-found\.cfgdump$/);
    const left = (await vscode.workspace.openTextDocument(original)).getText().split('\n');
    const differing = document
      .getText()
      .split('\n')
      // Headers and remarks are each file's own.
      .filter((line) => !/^[#@]/.test(line) && !left.includes(line));
    assert.deepEqual(differing, [' 4: 08 03 21 7F  00 FF | 88']);
  });

  it('makes a sealed backup beside the dump, once', async () => {
    const text = (await open('cluster.as-found.cfgdump')).getText().replace(/^@seal.*\n/m, '');
    const copy = file('fresh.cfgdump');
    await vscode.workspace.fs.writeFile(copy, new TextEncoder().encode(text));
    const document = await open('fresh.cfgdump');
    await vscode.commands.executeCommand('countersum.makeBackup');
    assert.match(document.getText(), /^@backup fresh\.backup\.cfgdump$/m);
    const sealed = new TextDecoder().decode(await vscode.workspace.fs.readFile(file('fresh.backup.cfgdump')));
    assert.match(sealed, /^@seal sha256:[0-9a-f]{64}$/m);
    await vscode.commands.executeCommand('countersum.makeBackup');
    const again = new TextDecoder().decode(await vscode.workspace.fs.readFile(file('fresh.backup.cfgdump')));
    assert.equal(again, sealed);
  });

  it('describes the keys of profiles and retrofits, as the manifest names their schemas', async () => {
    for (const [name, line, wanted] of [
      ['rear-body.dump-profile.json', 4, 'The lines of the dump'],
      ['trailer-socket.retrofit.json', 2, 'What is fitted, in words'],
    ] as const) {
      const { uri } = await open(name);
      // The server of the editor for JSON starts with the first such file: until then nothing is said.
      while (!(await hoverText(uri, line, 4)).includes(wanted))
        await new Promise((resolve) => setTimeout(resolve, 200));
    }
  });

  it('checks profiles: an unknown key is marked where it stands', async () => {
    const copy = file('wrong.dump-profile.json');
    await vscode.workspace.fs.writeFile(copy, new TextEncoder().encode('{ "format": 1, "lockd": [] }'));
    const document = await open('wrong.dump-profile.json');
    await when(vscode.languages.onDidChangeDiagnostics, () => codes(document.uri).includes('profile-invalid'));
  });
});

async function hoverText(uri: vscode.Uri, line: number, character: number): Promise<string> {
  const place = new vscode.Position(line, character);
  const hovers = await vscode.commands.executeCommand<vscode.Hover[]>('vscode.executeHoverProvider', uri, place);
  const parts = hovers.flatMap(({ contents }) => contents);
  return parts.map((part) => (part as vscode.MarkdownString).value).join('\n');
}
