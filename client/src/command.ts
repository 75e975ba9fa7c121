import * as vscode from 'vscode';
import { activeDump } from './activeDump.js';
import type { Services } from './services.js';

/**
 * All there is to know of a command. Its registration, what package.json and package.nls.json say of it, and its row in
 * the README follow from this (`npm run manifest`).
 */
export interface Command {
  /** Its name is "countersum." and this. With an underscore in front, other parts of the extension alone call it. */
  readonly id: string;
  /** What people call it; its translations are in package.nls.*.json, under "command." and its id. */
  readonly title?: string;
  /** Its row in the README, as Markdown. */
  readonly does?: string;
  readonly icon?: string;
  /** Where it is of use: elsewhere it is grey in menus and not in the palette. */
  readonly when?: string;
  /** It needs to be told what it is about, so the palette does not have it. */
  readonly onlyInMenus?: true;
  readonly menus?: readonly MenuEntry[];
  readonly key?: { readonly key: string; readonly when: string };
  run(services: Services, ...given: readonly unknown[]): unknown;
}

export interface MenuEntry {
  readonly menu: 'editor/title' | 'editor/context' | 'explorer/context' | 'view/title' | 'view/item/context';
  /** Group and place in it: "navigation@1", "inline". */
  readonly group: string;
  readonly when: string;
}

/** Runs with the dump in the active editor, or else the one that was active last; where there is none, the person is told. */
export function onDump(run: (services: Services, document: vscode.TextDocument) => unknown): Command['run'] {
  return (services) => {
    const document = activeDump(services.current);
    return document && run(services, document);
  };
}

export function register(commands: readonly Command[], services: Services): vscode.Disposable {
  return vscode.Disposable.from(
    ...commands.map(({ id, run }) =>
      vscode.commands.registerCommand(`countersum.${id}`, (...given: readonly unknown[]) => run(services, ...given)),
    ),
  );
}
