// npm run score: how often the right rule and the right option are found, over families of generated dumps.
import { build } from 'esbuild';
import { run } from './prepare.mjs';

const outfile = 'out/score.cjs';
await build({
  entryPoints: ['test/scoring/score.ts'],
  outfile,
  bundle: true,
  platform: 'node',
  mainFields: ['module', 'main'],
  logLevel: 'warning',
});
run(process.execPath, [outfile, ...process.argv.slice(2)]);
