// The core as a module that the bench can import, made from its sources.
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { build } from 'esbuild';

export async function importCore() {
  const outfile = join('out', 'bench', 'core.mjs');
  await build({
    entryPoints: ['shared-core/src/index.ts'],
    bundle: true,
    format: 'esm',
    platform: 'node',
    mainFields: ['module', 'main'],
    logLevel: 'error',
    outfile,
  });
  return import(pathToFileURL(outfile).href);
}

/** Bytes that look like a program: no two stretches are equal. */
export function noisyBytes(size) {
  let noise = 1;
  return Uint8Array.from({ length: size }, () => {
    noise = (Math.imul(noise, 1103515245) + 12345) >>> 0;
    return noise >>> 24;
  });
}
