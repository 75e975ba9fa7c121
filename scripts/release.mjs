// npm run release VERSION: runs every check and test, gives the version to the manifest and the change log, packs all that
// is given away, and commits it under a tag. Nothing leaves this machine.
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { output, ROOT, run } from './prepare.mjs';

/** The change log in which what was not released yet has a heading of its own; fails where nothing stands there. */
export function releasedLog(log, version, date) {
  const [whole, entries] = log.match(/^## Unreleased\n([\s\S]*?)(?=^## |$(?![\s\S]))/m) ?? [];
  if (whole === undefined)
    throw new Error('CHANGELOG.md has no heading "## Unreleased": write what has changed below one.');
  if (entries.trim() === '')
    throw new Error('CHANGELOG.md says nothing below "## Unreleased": there is nothing to release.');
  return log.replace(whole, () => `## Unreleased\n\n## ${version} – ${date}\n${entries}`);
}

function release(version) {
  if (!/^\d+\.\d+\.\d+$/.test(version)) throw new Error('Say which version, for example: npm run release 0.2.0');
  if (output('git', ['status', '--porcelain']) !== '')
    throw new Error('There are changes that are not committed: commit them or take them back first.');
  const path = join(ROOT, 'CHANGELOG.md');
  const log = releasedLog(readFileSync(path, 'utf8'), version, new Date().toISOString().slice(0, 10));
  run(process.execPath, ['scripts/test.mjs']);
  run('npm', ['version', version, '--no-git-tag-version']);
  writeFileSync(path, log);
  run(process.execPath, ['scripts/package.mjs']);
  run('git', ['commit', '--quiet', '--all', `--message=Version ${version}`]);
  run('git', ['tag', `v${version}`]);
  console.log(
    `Version ${version} is committed and tagged v${version}; the files to give away lie beside package.json.`,
  );
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href)
  try {
    release(process.argv[2] ?? '');
  } catch (error) {
    console.error(error.message);
    process.exitCode = 1;
  }
