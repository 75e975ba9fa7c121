// npm run test:some PATTERN: builds and runs the test files whose paths match. What ships is not built: run
// `npm run build` first where the tests start the command line or an editor.
import { spawnSync } from 'node:child_process';

const [pattern = ''] = process.argv.slice(2);
const run = (...args) => spawnSync(process.execPath, args, { stdio: 'inherit' }).status ?? 1;
process.exitCode = run('scripts/build.mjs', '--some', pattern) || run('node_modules/mocha/bin/mocha.js');
