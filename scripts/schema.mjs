// npm run schema: what the schema of profiles says of sums and written forms is made from their tables (shared-core/src).
import { spawnSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { build } from 'esbuild';

const FILE = 'syntaxes/dump-profile.schema.json';
const { outputFiles } = await build({
  entryPoints: ['shared-core/src/profile/schemaTables.ts'],
  bundle: true,
  format: 'esm',
  mainFields: ['module', 'main'],
  write: false,
});
const { withTables } = await import(
  `data:text/javascript;base64,${Buffer.from(outputFiles[0].contents).toString('base64')}`
);
writeFileSync(FILE, JSON.stringify(withTables(JSON.parse(readFileSync(FILE, 'utf8')))));
spawnSync('npx', ['biome', 'format', '--write', FILE], { stdio: 'inherit' });
