import * as vscode from 'vscode';
import type { ChangedLine, ChangeItem, ChangesResult } from '../../../shared-core/src/protocol/compare.js';
import { treeItem } from '../ui.js';

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

export type ChangesNode = ChangeNode | LineNode | OptionsNode;

export function rootsOf(result: ChangesResult | undefined): ChangesNode[] {
  if (result === undefined) return [];
  const { options, lines } = result;
  return [
    ...(options.length === 0 ? [] : [{ kind: 'options', options } as const]),
    ...lines.map((line) => ({ kind: 'line', line }) as const),
  ];
}

export function childrenOf(node: ChangesNode): ChangesNode[] {
  if (node.kind === 'change') return [];
  const changes = node.kind === 'options' ? node.options : node.line.bytes;
  return changes.map((change) => ({ kind: 'change', change }));
}

/** What an entry looks like; what differs leads to its place in the dump. */
export function treeItemOf(node: ChangesNode, of: vscode.Uri | undefined): vscode.TreeItem {
  if (node.kind === 'change') return changeItem(node.change, of);
  const { Expanded, None } = vscode.TreeItemCollapsibleState;
  if (node.kind === 'options') {
    const shown = treeItem(vscode.l10n.t('Options'), {}, Expanded);
    shown.id = 'options';
    shown.iconPath = new vscode.ThemeIcon('settings');
    return shown;
  }
  const { title, bytes } = node.line;
  const shown = treeItem(title, {}, bytes.length > 0 ? Expanded : None);
  shown.id = `line ${node.line.label}`;
  shown.contextValue = 'line';
  return shown;
}

function changeItem({ title, says, range, reason }: ChangeItem, of: vscode.Uri | undefined): vscode.TreeItem {
  const whole = `${title}: ${says}`;
  const shown = treeItem(title, { description: says, tooltip: whole, spoken: whole });
  shown.iconPath = iconOf(reason);
  if (range && of) {
    const title = vscode.l10n.t('Show in the Text');
    shown.command = { command: 'countersum._showChange', title, arguments: [range, of] };
  }
  return shown;
}

function iconOf(reason: ChangeItem['reason']): vscode.ThemeIcon {
  switch (reason) {
    case 'option':
      return new vscode.ThemeIcon('settings');
    case 'balance':
    case 'chosen-balance':
      return new vscode.ThemeIcon('law');
    case 'line-sum':
    case 'total':
    case 'copy':
    case 'slot':
    case 'volatile':
      return new vscode.ThemeIcon('add');
    case 'locked':
    case 'security':
    case 'unexplained':
      return new vscode.ThemeIcon('warning', new vscode.ThemeColor('list.warningForeground'));
  }
}
