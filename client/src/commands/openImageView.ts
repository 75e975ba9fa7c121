import * as vscode from 'vscode';
import { activeFile } from '../activeFile.js';
import type { Command } from '../command.js';
import { IMAGE_VIEW } from '../pages/largeImage.js';
import { IMAGE_FILE } from './conditions.js';

/** *Open Read-Only View*: what is wrong with a memory image of any size, its regions, and its bytes by address. */
export const openImageView: Command = {
  id: 'openImageView',
  title: 'Open Read-Only View',
  does: 'shows a memory image of any size: what is wrong with it, its regions with their CRC-32, its bytes by address',
  when: IMAGE_FILE,
  menus: [{ menu: 'explorer/context', group: 'navigation@30', when: IMAGE_FILE }],
  run: async (_, given?: vscode.Uri) => {
    const uri = given ?? activeFile();
    if (uri) await vscode.commands.executeCommand('vscode.openWith', uri, IMAGE_VIEW);
  },
};
