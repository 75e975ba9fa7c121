import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { literal } from '../../../shared-core/src/base/index.js';
import { OPTIONS, type OptionItem, type OptionsResult } from '../../../shared-core/src/protocol/options.js';
import { type CurrentDump, placeIn } from '../currentDump.js';
import { nameOf } from '../places.js';
import {
  changedMarks,
  type GroupNode,
  groupItem,
  type OptionNode,
  optionItem,
  optionsIn,
  type TableNode,
  tableItem,
} from './optionItems.js';

type Node = GroupNode | TableNode | OptionNode;

export interface OptionsView extends vscode.Disposable {
  /** The option that is selected in the view. */
  readonly selected: () => OptionItem | undefined;
}

/** The options of the current dump by group: what they are set to, what differs from the backup, what to be careful about. */
export function createOptionsView(client: BaseLanguageClient, current: CurrentDump): OptionsView {
  let groups: readonly GroupNode[] = [];
  let shown: vscode.TextDocument | undefined;
  // Where the cursor went while the entries were being replaced: an entry that is gone cannot be shown.
  let unseen: vscode.Position | undefined;
  const changed = new vscode.EventEmitter<undefined>();
  const marks = new vscode.EventEmitter<undefined>();
  const view = vscode.window.createTreeView<Node>('countersum.options', {
    showCollapseAll: true,
    treeDataProvider: {
      onDidChangeTreeData: changed.event,
      getChildren: (node) => (node === undefined ? [...groups] : childrenOf(node)),
      getParent: (node) => parentOf(groups, node),
      getTreeItem: (node) => itemOf(node),
    },
  });

  const update = async (): Promise<void> => {
    if (!client.isRunning() || !view.visible) return;
    const document = current.document();
    const list =
      document && (await client.sendRequest<OptionsResult | null>(OPTIONS, { uri: document.uri.toString() }));
    // Another request is on its way where the dump is a different one by now.
    if (document !== current.document()) return;
    groups = grouped(list?.options ?? []);
    view.description = document ? literal(nameOf(document.uri)) : '';
    const different = list?.options.filter(({ before }) => before !== null).length ?? 0;
    const isFound = list?.state === 'found';
    view.message = isFound
      ? vscode.l10n.t(
          'Only texts and dates that were found in the bytes. Options of the equipment: press the magnifying glass above.',
        )
      : different > 0
        ? vscode.l10n.t('Set otherwise than in the backup: {0}', different)
        : '';
    await vscode.commands.executeCommand('setContext', 'countersum.dump', list?.state ?? 'none');
    changed.fire(undefined);
    marks.fire(undefined);
    const editor = vscode.window.visibleTextEditors.find((one) => one.document === document);
    if (document !== shown && editor) unseen = placeIn(editor.selection);
    shown = document;
    if (unseen) await follow(unseen);
  };
  const follow = async (position: vscode.Position): Promise<void> => {
    unseen = position;
    const among = groups;
    const all = among.flatMap(optionsIn);
    const here = all.find(holds(position, 0)) ?? all.find(holds(position, 1));
    if (!view.visible) return;
    if (here && view.selection[0] !== here)
      await view.reveal(here, { select: true, focus: false }).then(undefined, () => undefined);
    if (among === groups && unseen === position) unseen = undefined;
  };
  void update();
  const disposable = vscode.Disposable.from(
    view,
    changed,
    marks,
    current.onDidChange(update),
    current.onDidMove(follow),
    client.onDidChangeState(update),
    view.onDidChangeVisibility(update),
    changedMarks(marks.event),
  );
  return {
    selected: () => view.selection.find((node) => node.kind === 'option')?.item,
    dispose: () => disposable.dispose(),
  };
}

function childrenOf(node: Node): Node[] {
  return node.kind === 'group' ? [...node.nodes] : node.kind === 'table' ? [...node.options] : [];
}

function parentOf(groups: readonly GroupNode[], node: Node): Node | undefined {
  if (node.kind === 'group') return undefined;
  const group = groups.find(({ title }) => title === node.group);
  const tables = group?.nodes.flatMap((one) => (one.kind === 'table' ? [one] : [])) ?? [];
  return tables.find(({ options }) => node.kind === 'option' && options.includes(node)) ?? group;
}

function itemOf(node: Node): vscode.TreeItem {
  switch (node.kind) {
    case 'group':
      return groupItem(node);
    case 'table':
      return tableItem(node);
    case 'option':
      return optionItem(node);
  }
}

/** Whether an option stands at a place, or so many digits beside it: it may hold only one of the two of its byte. */
function holds(position: vscode.Position, beside: number): (node: OptionNode) => boolean {
  return ({ item: { range } }) =>
    range?.start.line === position.line &&
    position.character >= range.start.character - beside &&
    position.character < range.end.character + beside;
}

function grouped(options: readonly OptionItem[]): readonly GroupNode[] {
  const rest = options.every(({ group }) => group === null) ? vscode.l10n.t('Options') : vscode.l10n.t('Other options');
  const titleOf = ({ group }: OptionItem) => group ?? rest;
  return [...new Set(options.map(titleOf))].map((title) => ({
    kind: 'group',
    title,
    nodes: withTables(
      options.filter((option) => titleOf(option) === title).map((item) => ({ kind: 'option', group: title, item })),
    ),
  }));
}

/** Options in their order, the entries of a table together where its first one is. */
function withTables(options: readonly OptionNode[]): readonly (TableNode | OptionNode)[] {
  return options.flatMap((node): TableNode | OptionNode | readonly [] => {
    const { table } = node.item;
    if (table === null) return node;
    const entries = options.filter(({ item }) => item.table?.id === table.id);
    return entries[0] === node ? { kind: 'table', group: node.group, table, options: entries } : [];
  });
}
