import { makeFolder } from '../../support/folder.js';
import { runCommand } from '../../support/inProcess.js';
import { trustCase } from '../../support/trustCase.js';
import { randomCommand, violationsOf } from '../../support/trustCommands.js';
import { type Area, failureOf } from '../area.js';

/** Commands in folders as people have them; judged by what became of the files. */
export const commands: Area = {
  name: 'commands',
  share: 1_500,
  open: () => {
    const folder = makeFolder();
    return {
      run: async (seed) => {
        const given = trustCase(seed);
        const command = randomCommand(given);
        folder.clear();
        folder.write(given.files);
        const args = command.args.map((arg) => (given.files.has(arg) || arg.startsWith('out.') ? folder.of(arg) : arg));
        const ran = await runCommand([command.name, ...args]);
        const said = violationsOf(given, command, given.files, folder.files(), ran);
        return failureOf(
          said.length === 0 ? [] : [`${given.says}: ${command.name} ${command.args.join(' ')}`, ...said],
        );
      },
      close: folder.remove,
    };
  },
};
