// npm start: installs, builds and opens the demo in the editor: the desktop one where it is found, else, or where
// COUNTERSUM_VSCODE=server asks for it, the VS Code server.
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { find, installPackages, orSayWhatToDo, ROOT, run } from './prepare.mjs';

const EXAMPLES = join(ROOT, 'examples');
const FIRST = join(EXAMPLES, 'trailer-socket', 'rear-body.cfgdump');

await orSayWhatToDo(installPackages);
run(process.execPath, ['scripts/build.mjs']);

const desktop = find('code');
if (process.env.COUNTERSUM_VSCODE === 'server') {
  await serve('COUNTERSUM_VSCODE asks for it');
} else if (desktop === undefined) {
  await serve('No desktop VS Code was found ("code" is not on the PATH)');
} else if (openDesktop(desktop)) {
  console.log(`The demo is open in the desktop VS Code (${desktop}).`);
  console.log('Its window holds this build of Countersum; close the window to end it.');
} else {
  await serve(`The desktop VS Code (${desktop}) could not be started`);
}

function openDesktop(program) {
  // The editor refuses to run as root unless it is told where to keep its data.
  const asRoot =
    process.getuid?.() === 0 ? ['--no-sandbox', `--user-data-dir=${join(ROOT, '.vscode-test', 'desktop')}`] : [];
  const args = [...asRoot, `--extensionDevelopmentPath=${ROOT}`, EXAMPLES, FIRST];
  const windows = process.platform === 'win32';
  const quoted = windows ? args.map((arg) => `"${arg}"`) : args;
  return (
    spawnSync(windows ? `"${program}"` : program, quoted, { stdio: 'inherit', cwd: ROOT, shell: windows }).status === 0
  );
}

async function serve(why) {
  const { startServer } = await import('./editorServer.mjs');
  const server = await orSayWhatToDo(() => startServer({ data: join(ROOT, '.vscode-test', 'start') }));
  console.log(`\n${why}, so a VS Code server runs here, for this machine alone.`);
  console.log('Open this address in a browser on this machine:\n');
  console.log(`  ${server.url({ folder: EXAMPLES, file: FIRST })}\n`);
  console.log('The part behind "tkn=" is the key to it. Ctrl+C ends the server.');
  process.on('SIGINT', server.stop);
  process.on('SIGTERM', server.stop);
  await server.ended;
}
