import { cpSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { ROOT } from './prepare.mjs';

/** Lays out the extension as it would be once installed: what `.vscodeignore` lets through. */
export async function layOut(target) {
  const { listFiles, PackageManager } = await import('@vscode/vsce');
  rmSync(target, { recursive: true, force: true });
  for (const file of await listFiles({ cwd: ROOT, packageManager: PackageManager.None }))
    cpSync(join(ROOT, file), join(target, file));
}
