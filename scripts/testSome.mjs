// npm run test:some PATTERN: builds and runs the test files whose paths match. What ships is not built: run
// `npm run build` first where the tests start the command line or an editor.
import { spawnSync } from 'node:child_process';
import { bundleTests, testFiles } from './testBundle.mjs';

const pattern = new RegExp(process.argv[2] ?? '', 'i');
await bundleTests(testFiles().filter((file) => pattern.test(file)));
process.exitCode = spawnSync(process.execPath, ['node_modules/mocha/bin/mocha.js'], { stdio: 'inherit' }).status ?? 1;
