// What ships of the project. `.vscodeignore` says the same to the packager, and `npm run package` compares the two.
import { cpSync, existsSync, readdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { ROOT } from './prepare.mjs';

/** Files and folders at the top that ship, as far as they are there. */
export function shippedParts() {
  const texts = readdirSync(ROOT).filter((name) => /^package\.nls(\.\w+)?\.json$/.test(name));
  const parts = ['package.json', 'README.md', 'CHANGELOG.md', 'LICENSE', 'dist', 'syntaxes', 'l10n', 'media'];
  return [...parts, ...texts].filter((part) => existsSync(join(ROOT, part)));
}

/** Lays out the extension as it would be once installed. */
export function copyShipped(target) {
  rmSync(target, { recursive: true, force: true });
  for (const part of shippedParts()) cpSync(join(ROOT, part), join(target, part), { recursive: true });
}
