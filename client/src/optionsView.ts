import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { OPTIONS, type OptionItem, type OptionsResult } from '../../shared-core/src/index.js';
import type { CurrentDump } from './currentDump.js';
import { goTo } from './places.js';
import { remarksOn, valueInWords } from './setOption.js';

const SCHEME = 'countersum-option';

interface GroupNode {
  readonly kind: 'group';
  readonly title: string;
  readonly options: readonly OptionNode[];
}

interface OptionNode {
  readonly kind: 'option';
  readonly group: string;
  readonly item: OptionItem;
}

type Node = GroupNode | OptionNode;

/** The options of the current dump by group: what they are set to, what differs from the backup, what to be careful about. */
export function registerOptionsView(client: BaseLanguageClient, current: CurrentDump): vscode.Disposable {
  let groups: readonly GroupNode[] = [];
  let shown: vscode.TextDocument | undefined;
  const changed = new vscode.EventEmitter<undefined>();
  const marks = new vscode.EventEmitter<undefined>();
  const view = vscode.window.createTreeView<Node>('countersum.options', {
    showCollapseAll: true,
    treeDataProvider: {
      onDidChangeTreeData: changed.event,
      getChildren: (node) => (node === undefined ? [...groups] : node.kind === 'group' ? [...node.options] : []),
      getParent: (node) => (node.kind === 'option' ? groups.find(({ title }) => title === node.group) : undefined),
      getTreeItem: (node) => (node.kind === 'group' ? groupItem(node) : optionItem(node)),
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
    view.description = document?.uri.path.split('/').at(-1) ?? '';
    const different = list?.options.filter(({ before }) => before !== null).length ?? 0;
    view.message = different > 0 ? vscode.l10n.t('Set otherwise than in the backup: {0}', different) : '';
    await vscode.commands.executeCommand('setContext', 'countersum.dump', list?.state ?? 'none');
    changed.fire(undefined);
    marks.fire(undefined);
    if (document === shown) return;
    shown = document;
    const editor = vscode.window.visibleTextEditors.find((one) => one.document === document);
    if (editor) follow(editor.selection.active);
  };
  const follow = (position: vscode.Position): void => {
    const all = groups.flatMap(({ options }) => options);
    const here = all.find(holds(position, 0)) ?? all.find(holds(position, 1));
    if (here && view.visible && view.selection[0] !== here) void view.reveal(here, { select: true, focus: false });
  };
  void update();
  return vscode.Disposable.from(
    view,
    changed,
    marks,
    current.onDidChange(update),
    current.onDidMove(follow),
    client.onDidChangeState(update),
    view.onDidChangeVisibility(update),
    vscode.window.registerFileDecorationProvider({
      onDidChangeFileDecorations: marks.event,
      provideFileDecoration: ({ scheme, query }) =>
        scheme === SCHEME && query === 'changed' ? changedMark() : undefined,
    }),
    vscode.commands.registerCommand('countersum.showOption', async (node?: OptionNode) => {
      const document = current.document();
      const range = (node ?? (view.selection.find(({ kind }) => kind === 'option') as OptionNode | undefined))?.item
        .range;
      if (document && range) await goTo(document.uri, range);
    }),
  );
}

/** Whether an option stands at a place, or so many digits beside it: it may hold only one of the two of its byte. */
function holds(position: vscode.Position, beside: number): (node: OptionNode) => boolean {
  return ({ item: { range } }) =>
    range?.start.line === position.line &&
    position.character >= range.start.character - beside &&
    position.character < range.end.character + beside;
}

function grouped(options: readonly OptionItem[]): readonly GroupNode[] {
  const titleOf = ({ group }: OptionItem) => group ?? vscode.l10n.t('Other options');
  return [...new Set(options.map(titleOf))].map((title) => ({
    kind: 'group',
    title,
    options: options
      .filter((option) => titleOf(option) === title)
      .map((item) => ({ kind: 'option', group: title, item })),
  }));
}

function groupItem({ title, options }: GroupNode): vscode.TreeItem {
  const node = new vscode.TreeItem(title, vscode.TreeItemCollapsibleState.Expanded);
  node.id = `group ${title}`;
  node.contextValue = 'group';
  node.accessibilityInformation = { label: vscode.l10n.t('{0}: {1} options', title, options.length) };
  return node;
}

function optionItem(node: OptionNode): vscode.TreeItem {
  const { item } = node;
  const shown = new vscode.TreeItem(item.title);
  shown.id = `option ${item.id}`;
  shown.description = [valueInWords(item), ...remarksOn(item)].join(' · ');
  shown.iconPath = iconOf(item);
  shown.tooltip = tooltipOf(item);
  shown.contextValue = item.refused === null ? 'option' : 'option.refused';
  shown.resourceUri = vscode.Uri.from({
    scheme: SCHEME,
    path: `/${item.id}`,
    query: item.before === null ? '' : 'changed',
  });
  shown.accessibilityInformation = { label: spoken(item) };
  shown.command = { command: 'countersum.setOption', title: vscode.l10n.t('Set'), arguments: [node] };
  return shown;
}

function iconOf({ refused, caution, certainty }: OptionItem): vscode.ThemeIcon {
  if (refused !== null) return new vscode.ThemeIcon('lock');
  if (caution !== null) return new vscode.ThemeIcon('warning', new vscode.ThemeColor('list.warningForeground'));
  return new vscode.ThemeIcon(certainty?.confidence === 'guess' ? 'question' : 'settings');
}

function changedMark(): vscode.FileDecoration {
  const color = new vscode.ThemeColor('gitDecoration.modifiedResourceForeground');
  return new vscode.FileDecoration('≠', vscode.l10n.t('Not as in the backup'), color);
}

function tooltipOf(item: OptionItem): vscode.MarkdownString {
  const text = new vscode.MarkdownString();
  const line = (words: string) => text.appendText(words).appendMarkdown('\n\n');
  text.appendMarkdown('**').appendText(item.title).appendMarkdown('**\n\n');
  line(item.place);
  for (const { words, digits, current, before } of item.choices) {
    text.appendMarkdown(`- \`${digits}\` `).appendText(words);
    if (current) text.appendText(` ← ${vscode.l10n.t('now')}`);
    if (before && item.before !== null) text.appendText(` (${vscode.l10n.t('in the backup')})`);
    text.appendMarkdown('\n');
  }
  if (item.choices.length > 0) text.appendMarkdown('\n');
  else line([item.now, item.limits].filter((part) => part).join(' · '));
  if (item.caution) line(item.caution.says);
  if (item.refused) line(item.refused);
  if (item.certainty) line(certaintyInWords(item.certainty));
  return text;
}

function certaintyInWords({ says, evidence }: NonNullable<OptionItem['certainty']>): string {
  return [vscode.l10n.t('How sure: {0}.', says), ...(evidence === null ? [] : [evidence])].join(' ');
}

/** What a screen reader says of an option. */
function spoken(item: OptionItem): string {
  return [
    `${item.title}: ${item.now ?? vscode.l10n.t('cannot be read')}`,
    ...(item.before === null ? [] : [vscode.l10n.t('not as in the backup: {0}', item.before)]),
    ...(item.caution ? [vscode.l10n.t('touches {0}', item.caution.touches)] : []),
    ...(item.certainty ? [certaintyInWords(item.certainty)] : []),
    ...(item.refused === null ? [] : [item.refused]),
  ].join('. ');
}
