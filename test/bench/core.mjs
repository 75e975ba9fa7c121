// The core as a module that the bench can import, made from its sources.
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { build } from 'esbuild';

/** What clients and server take of the core, and what lies behind it and is measured by itself. */
const CONTENTS = `
export * from './index.js';
export { fix } from './actions/repair.js';
export { checksumOf } from './checksum/registry.js';
export { valueOver } from './checksum/checksum.js';
export { crcModel } from './checksum/crcCatalogue.js';
export { afterWrites } from './model/byteWrite.js';
export { wrongTotals } from './model/totalReading.js';
export { freeCellsAt } from './repair/freeCells.js';
export { rebalance } from './repair/rebalance.js';
export { rewriteTotals } from './repair/totals.js';
`;

export async function importCore() {
  const outfile = join('out', 'bench', 'core.mjs');
  await build({
    stdin: { contents: CONTENTS, resolveDir: 'shared-core/src', loader: 'ts' },
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
