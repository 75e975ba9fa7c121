import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import {
  CHANGES,
  type ChangedLine,
  type ChangeItem,
  type ChangesResult,
  type CompareParams,
  type Refusal,
  type Stretch,
  TAKE_LINE,
  type TakeLineParams,
  type TakeLineResult,
} from '../../shared-core/src/index.js';
import { isRefusal } from './activeDump.js';
import type { CurrentDump } from './currentDump.js';
import { applyEdit, goTo } from './places.js';

interface ChangeNode {
  readonly kind: 'change';
  readonly change: ChangeItem;
}

interface LineNode {
  readonly kind: 'line';
  readonly line: ChangedLine;
}

interface OptionsNode {
  readonly kind: 'options';
  readonly options: readonly ChangeItem[];
}

type Node = ChangeNode | LineNode | OptionsNode;

export interface Changes extends vscode.Disposable {
  /** Says with which dump the current one is compared from now on; its backup where none is given. */
  readonly compareWith: (other: vscode.Uri | undefined) => void;
}

/** What differs between the current dump and its backup, or another dump, in words; each change goes to its place. */
export function registerChanges(client: BaseLanguageClient, current: CurrentDump): Changes {
  let other: { readonly of: vscode.TextDocument | undefined; readonly uri: vscode.Uri } | undefined;
  let result: ChangesResult | undefined;
  const changed = new vscode.EventEmitter<undefined>();
  const view = vscode.window.createTreeView<Node>('countersum.changes', {
    showCollapseAll: true,
    treeDataProvider: {
      onDidChangeTreeData: changed.event,
      getChildren: (node) => (node === undefined ? rootsOf(result) : childrenOf(node)),
      getTreeItem: (node) => treeItem(node),
    },
  });
  const params = (document: vscode.TextDocument): CompareParams => ({
    uri: document.uri.toString(),
    ...(other?.of === document && { other: other.uri.toString() }),
  });
  const ask = async (document: vscode.TextDocument): Promise<ChangesResult | Refusal> =>
    client.sendRequest<ChangesResult | Refusal>(CHANGES, params(document));

  const update = async (): Promise<void> => {
    if (!client.isRunning() || !view.visible) return;
    const document = current.document();
    const answer = document && (await ask(document));
    if (document !== current.document()) return;
    const refused = answer !== undefined && 'refused' in answer;
    result = answer === undefined || refused ? undefined : (answer as ChangesResult);
    view.description = result === undefined ? '' : vscode.l10n.t('against {0}', nameOf(result.otherUri));
    view.message = refused ? answer.refused : (result?.remarks.join(' ') ?? '');
    const state = document === undefined ? 'none' : refused ? 'refused' : 'compared';
    await vscode.commands.executeCommand('setContext', 'countersum.changes', state);
    changed.fire(undefined);
  };

  /** The next changed byte behind the cursor, or the one before it; after the last comes the first. */
  const step = async (forward: boolean): Promise<void> => {
    const document = current.document();
    if (!document) return tellNoDump();
    const answer = await ask(document);
    if (isRefusal(answer)) return;
    const places = placesOf(answer);
    const [first, last] = [places[0], places.at(-1)];
    if (first === undefined || last === undefined) {
      void vscode.window.showInformationMessage(answer.remarks.join(' '));
      return;
    }
    const editor = vscode.window.visibleTextEditors.find((shown) => shown.document === document);
    const here = editor?.selection.start ?? new vscode.Position(0, 0);
    const there = forward
      ? (places.find(({ range }) => isBehind(range.start, here)) ?? first)
      : (places.filter(({ range }) => isBehind(here, range.start)).at(-1) ?? last);
    await goTo(document.uri, there.range);
    vscode.window.setStatusBarMessage(there.says, 8000);
  };

  const takeLine = async (node?: LineNode): Promise<void> => {
    const document = current.document();
    if (!document) return tellNoDump();
    const editor = vscode.window.visibleTextEditors.find((shown) => shown.document === document);
    const line = node?.line ? { label: node.line.label } : { row: editor?.selection.active.line ?? 0 };
    const asked: TakeLineParams = { ...params(document), line };
    const taken = await client.sendRequest<TakeLineResult | Refusal>(TAKE_LINE, asked);
    if (isRefusal(taken) || !(await applyEdit(client, document, taken))) return;
    vscode.window.setStatusBarMessage(`$(check) ${taken.says}`, 8000);
  };

  void update();
  const disposable = vscode.Disposable.from(
    view,
    changed,
    current.onDidChange(update),
    client.onDidChangeState(update),
    view.onDidChangeVisibility(update),
    vscode.commands.registerCommand('countersum.nextChange', () => step(true)),
    vscode.commands.registerCommand('countersum.previousChange', () => step(false)),
    vscode.commands.registerCommand('countersum.takeLine', takeLine),
    vscode.commands.registerCommand('countersum._showChange', async (range: Stretch) => {
      const document = current.document();
      if (document) await goTo(document.uri, range);
    }),
  );
  return {
    compareWith: (uri) => {
      other = uri && { of: current.document(), uri };
      void update();
    },
    dispose: () => disposable.dispose(),
  };
}

function tellNoDump(): void {
  void vscode.window.showInformationMessage(vscode.l10n.t('Open the dump whose changes are to be looked at first.'));
}

function nameOf(uri: string): string {
  return vscode.Uri.parse(uri).path.split('/').at(-1) ?? '';
}

function rootsOf(result: ChangesResult | undefined): Node[] {
  if (result === undefined) return [];
  const { options, lines } = result;
  return [
    ...(options.length === 0 ? [] : [{ kind: 'options', options } as const]),
    ...lines.map((line) => ({ kind: 'line', line }) as const),
  ];
}

function childrenOf(node: Node): Node[] {
  if (node.kind === 'change') return [];
  const changes = node.kind === 'options' ? node.options : node.line.bytes;
  return changes.map((change) => ({ kind: 'change', change }));
}

function treeItem(node: Node): vscode.TreeItem {
  if (node.kind === 'change') return changeItem(node.change);
  const { Expanded, None } = vscode.TreeItemCollapsibleState;
  if (node.kind === 'options') {
    const shown = new vscode.TreeItem(vscode.l10n.t('Options'), Expanded);
    shown.id = 'options';
    shown.iconPath = new vscode.ThemeIcon('settings');
    return shown;
  }
  const { title, bytes } = node.line;
  const shown = new vscode.TreeItem(title, bytes.length > 0 ? Expanded : None);
  shown.id = `line ${node.line.label}`;
  shown.contextValue = 'line';
  return shown;
}

function changeItem({ title, says, range, reason }: ChangeItem): vscode.TreeItem {
  const shown = new vscode.TreeItem(title);
  shown.description = says;
  shown.iconPath = iconOf(reason);
  shown.tooltip = `${title}: ${says}`;
  shown.accessibilityInformation = { label: `${title}: ${says}` };
  if (range)
    shown.command = { command: 'countersum._showChange', title: vscode.l10n.t('Show in the Text'), arguments: [range] };
  return shown;
}

function iconOf(reason: ChangeItem['reason']): vscode.ThemeIcon {
  switch (reason) {
    case 'option':
      return new vscode.ThemeIcon('settings');
    case 'balance':
      return new vscode.ThemeIcon('law');
    case 'line-sum':
    case 'total':
      return new vscode.ThemeIcon('add');
    case 'locked':
    case 'security':
    case 'unexplained':
      return new vscode.ThemeIcon('warning', new vscode.ThemeColor('list.warningForeground'));
  }
}

interface PlacedChange {
  readonly range: Stretch;
  readonly says: string;
}

/** All changed bytes with a place in the text, from the first to the last. */
function placesOf({ lines }: ChangesResult): readonly PlacedChange[] {
  const places = lines.flatMap(({ title, bytes }) =>
    bytes.flatMap((byte) =>
      byte.range ? [{ range: byte.range, says: `${title} · ${byte.title}: ${byte.says}` }] : [],
    ),
  );
  return places.sort((a, b) => (isBehind(a.range.start, b.range.start) ? 1 : -1));
}

function isBehind(place: Stretch['start'], other: Stretch['start']): boolean {
  return place.line > other.line || (place.line === other.line && place.character > other.character);
}
