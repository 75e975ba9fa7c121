import * as vscode from 'vscode';
import { bullets, code, table as markdownTable, plain } from '../../../shared-core/src/base/index.js';
import type { OptionChoice, OptionItem } from '../../../shared-core/src/protocol/options.js';
import { treeItem } from '../ui.js';
import { certaintyInWords, remarksOn, spoken, valueInWords } from './optionInWords.js';

export interface GroupNode {
  readonly kind: 'group';
  readonly title: string;
  readonly nodes: readonly (TableNode | OptionNode)[];
}

/** Options that are entries of one table. */
export interface TableNode {
  readonly kind: 'table';
  readonly group: string;
  readonly table: NonNullable<OptionItem['table']>;
  readonly options: readonly OptionNode[];
}

export interface OptionNode {
  readonly kind: 'option';
  readonly group: string;
  readonly item: OptionItem;
}

/** The options of a group, those of tables among them. */
export function optionsIn({ nodes }: GroupNode): readonly OptionNode[] {
  return nodes.flatMap((node) => (node.kind === 'table' ? node.options : [node]));
}

/** Of the addresses by which entries of the view are marked as changed. */
const SCHEME = 'countersum-option';

/** Marks the options that are not as in the backup. */
export function changedMarks(onDidChange: vscode.Event<undefined>): vscode.Disposable {
  return vscode.window.registerFileDecorationProvider({
    onDidChangeFileDecorations: onDidChange,
    provideFileDecoration: ({ scheme, query }) =>
      scheme === SCHEME && query === 'changed' ? changedMark() : undefined,
  });
}

function changedMark(): vscode.FileDecoration {
  const color = new vscode.ThemeColor('gitDecoration.modifiedResourceForeground');
  return new vscode.FileDecoration('≠', vscode.l10n.t('Not as in the backup'), color);
}

export function groupItem(node: GroupNode): vscode.TreeItem {
  const { title } = node;
  const count = optionsIn(node).length;
  const spoken = count === 1 ? vscode.l10n.t('{0}: 1 option', title) : vscode.l10n.t('{0}: {1} options', title, count);
  const words = { spoken };
  const shown = treeItem(title, words, vscode.TreeItemCollapsibleState.Expanded);
  shown.id = `group ${title}`;
  shown.contextValue = 'group';
  return shown;
}

/** A table: its entries are below it, each with its value of the axis. */
export function tableItem({ table, options }: TableNode): vscode.TreeItem {
  const ends = [options[0], options.at(-1)].map((node) => node?.item.table?.at ?? '');
  const description = `${table.axis} ${ends.join(' … ')}`.trim();
  const spoken = vscode.l10n.t('{0}: {1} options', table.title, options.length);
  const shown = treeItem(table.title, { description, spoken }, vscode.TreeItemCollapsibleState.Collapsed);
  shown.id = `table ${table.id}`;
  shown.iconPath = new vscode.ThemeIcon('table');
  shown.contextValue = 'table';
  shown.tooltip = new vscode.MarkdownString(
    markdownTable(
      [plain(table.axis), plain(table.title)],
      options.map(({ item }) => [plain(item.table?.at ?? ''), plain(valueInWords(item))]),
    ),
  );
  return shown;
}

export function optionItem(node: OptionNode): vscode.TreeItem {
  const { item } = node;
  const description = [valueInWords(item), ...remarksOn(item)].join(' · ');
  const shown = treeItem(item.table?.at ?? item.title, { description, spoken: spoken(item) });
  shown.id = `option ${item.id}`;
  shown.iconPath = iconOf(item);
  shown.tooltip = new vscode.MarkdownString(tooltipOf(item));
  shown.contextValue = item.refused === null ? 'option' : 'option.refused';
  const query = item.before === null ? '' : 'changed';
  shown.resourceUri = vscode.Uri.from({ scheme: SCHEME, path: `/${item.id}`, query });
  // What learning found is not set by a mere press.
  if (!item.isFound)
    shown.command = { command: 'countersum.setOption', title: vscode.l10n.t('Set'), arguments: [node] };
  return shown;
}

function iconOf({ refused, caution, certainty, isFound }: OptionItem): vscode.ThemeIcon {
  if (refused !== null) return new vscode.ThemeIcon('lock');
  if (isFound) return new vscode.ThemeIcon('info');
  if (caution !== null) return new vscode.ThemeIcon('warning', new vscode.ThemeColor('list.warningForeground'));
  return new vscode.ThemeIcon(certainty?.confidence === 'guess' ? 'question' : 'settings');
}

/** All that is known of an option, as Markdown. */
function tooltipOf(item: OptionItem): string {
  const { title, place, choices, now, limits, caution, refused, certainty } = item;
  const known = [now, limits].filter((part) => part).join(' · ');
  const paragraphs = [known, caution?.says ?? '', refused ?? '', certainty ? certaintyInWords(certainty) : ''];
  return [
    `**${plain(title)}**`,
    plain(place),
    bullets(choices.map((choice) => choiceLine(choice, item))),
    ...paragraphs.slice(choices.length > 0 ? 1 : 0).map(plain),
  ]
    .filter((part) => part !== '')
    .join('\n\n');
}

function choiceLine({ digits, words, current, before }: OptionChoice, item: OptionItem): string {
  const marks = [
    ...(current ? [`← ${vscode.l10n.t('now')}`] : []),
    ...(before && item.before !== null ? [`(${vscode.l10n.t('in the backup')})`] : []),
  ];
  return [code(digits), plain(words), ...marks].join(' ');
}
