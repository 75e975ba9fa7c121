// npm start: installs, builds and opens the demo in the editor.
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { installPackages, onPath, ROOT, run } from './prepare.mjs';

installPackages();
run(process.execPath, ['scripts/build.mjs']);
const examples = join(ROOT, 'examples');

if (onPath('code')) {
  console.log('Opening the demo in the desktop VS Code.');
  spawnSync('code', [`--extensionDevelopmentPath=${ROOT}`, examples, join(examples, 'rear-body.cfgdump')], {
    stdio: 'inherit',
  });
} else {
  const { startServer } = await import('./editorServer.mjs');
  const server = await startServer({ data: join(ROOT, '.vscode-test', 'start') });
  console.log('No desktop VS Code was found ("code" is not on the PATH), so an embedded VS Code server is running.');
  console.log('Open this address in a browser on this machine, then the file rear-body.cfgdump:\n');
  console.log(`  ${server.url(examples)}\n`);
  console.log('Ctrl+C ends it.');
  process.on('SIGINT', server.stop);
  process.on('SIGTERM', server.stop);
  await server.ended;
}
