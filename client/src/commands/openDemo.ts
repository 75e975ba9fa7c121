import * as vscode from 'vscode';
import type { Command } from '../command.js';
import { tick } from '../firstSteps.js';
import { exists } from '../newFile.js';
import type { Services } from '../services.js';
import { chooseOne, warn } from '../ui.js';

/** The files of the demos, which come with the extension; where it lies at a web address, nothing lists them. */
const DEMO = [
  'seat-heater/seat-heater.retrofit.json',
  'seat-heater/seat.as-found.bin',
  'seat-heater/seat.as-found.bin.dump-headers',
  'seat-heater/seat.bin',
  'seat-heater/seat.bin.dump-headers',
  'seat-heater/seat.dump-profile.json',
  'seat-heater/seat.read-back.xxd',
  'seat-heater/seat.read-back.xxd.dump-headers',
  'trailer-socket/cluster.as-found.cfgdump',
  'trailer-socket/cluster.cfgdump',
  'trailer-socket/cluster.dump-profile.json',
  'trailer-socket/rear-body.as-found.cfgdump',
  'trailer-socket/rear-body.cfgdump',
  'trailer-socket/rear-body.dump-profile.json',
  'trailer-socket/rear-body.read-back.cfgdump',
  'trailer-socket/trailer-socket.retrofit.json',
] as const;

const FIRST = 'trailer-socket/rear-body.cfgdump';

/** *Open the Demo*: a copy of it, so that everything can be tried and nothing is lost. */
export const openDemo: Command = {
  id: 'openDemo',
  title: 'Open the Demo',
  does: 'a copy of the demo, here or in a folder of its own',
  run: async ({ extension }) => {
    const here = {
      label: vscode.l10n.t('Look at it here'),
      detail: vscode.l10n.t('A fresh copy that the extension keeps for itself; your folder stays as it is'),
    };
    const folder = {
      label: vscode.l10n.t('Put it into a folder and open that…'),
      detail: vscode.l10n.t('Two cars: one with two modules and a retrofit over both, one whose module is raw bytes'),
    };
    const chosen = await chooseOne([here, folder], {
      title: vscode.l10n.t('How is the demo to be opened?'),
      // The walkthrough, from which this is asked, takes the focus when its picture is there.
      ignoreFocusOut: true,
    });
    if (chosen === here) {
      const kept = vscode.Uri.joinPath(extension.globalStorageUri, 'demo');
      await copyDemo(extension, kept);
      const document = await vscode.workspace.openTextDocument(vscode.Uri.joinPath(kept, FIRST));
      await vscode.window.showTextDocument(document, { preview: false });
      await vscode.commands.executeCommand('countersum.options.focus');
      tick('openDemo');
    } else if (chosen === folder) {
      const openLabel = vscode.l10n.t('Put the Demo Here');
      const [parent] =
        (await vscode.window.showOpenDialog({ canSelectFiles: false, canSelectFolders: true, openLabel })) ?? [];
      if (!parent) return;
      const made = vscode.Uri.joinPath(parent, 'countersum-demo');
      if (await exists(made)) {
        const message = vscode.l10n.t(
          'There is a folder "countersum-demo" already. Choose another place, or open that one.',
        );
        void warn(message);
        return;
      }
      await copyDemo(extension, made);
      tick('openDemo');
      await vscode.commands.executeCommand('vscode.openFolder', made);
    }
  },
};

async function copyDemo({ extensionUri }: Services['extension'], folder: vscode.Uri): Promise<void> {
  for (const name of DEMO) {
    const content = await vscode.workspace.fs.readFile(vscode.Uri.joinPath(extensionUri, 'examples', name));
    await vscode.workspace.fs.writeFile(vscode.Uri.joinPath(folder, name), content);
  }
}
