import { phrase } from '../../../shared-core/src/base/index.js';
import { Failure } from '../files/failure.js';
import { command } from './command.js';
import { flag, text } from './options.js';

/** The language server, for any editor. It ends when its editor does. */
export const serve = command({
  name: 'serve',
  arguments: '',
  does: phrase('the language server: --stdio'),
  options: {
    stdio: flag(phrase('over standard input and output')),
    // Editors tell a server who started it (Language Server Protocol 3.17, Implementation Considerations).
    clientProcessId: text('N', phrase('the process of the editor')),
  },
  run: async ({ stdio }) => {
    if (!stdio) throw new Failure(phrase('Say how the editor is connected: countersum serve --stdio'));
    await import('../nodeMain.js');
    return { status: 0, json: {} };
  },
});
