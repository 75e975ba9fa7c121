import assert from 'node:assert/strict';
import { build } from 'esbuild';
import { describe, it } from 'mocha';

/** Rooms and files of the core that hold messages, texts and names, and nothing that reads or computes. */
const LIGHT = /^shared-core\/src\/(?:base\/|protocol\/|workspace\/(?:fileEndings|host|reasons)\.ts)/;

/** Bytes of the core in a client: messages, what makes texts safe to show, and when a text says that it was read, in all its forms. */
const MOST = 10800;

describe('the client', () => {
  it('carries of the core only messages and texts', async () => {
    const { metafile } = await build({
      entryPoints: ['client/src/activate.ts'],
      bundle: true,
      minify: true,
      write: false,
      metafile: true,
      format: 'cjs',
      platform: 'node',
      mainFields: ['module', 'main'],
      conditions: ['module', 'browser'],
      external: ['vscode'],
      outdir: 'out',
    });
    const [bundle] = Object.values(metafile.outputs);
    const core = Object.entries(bundle?.inputs ?? {}).filter(([path]) => path.startsWith('shared-core/'));
    const carried = core.filter(([, { bytesInOutput }]) => bytesInOutput > 0);
    assert.ok(carried.length > 0);
    assert.deepEqual(
      carried.map(([path]) => path).filter((path) => !LIGHT.test(path)),
      [],
    );
    const bytes = carried.reduce((sum, [, { bytesInOutput }]) => sum + bytesInOutput, 0);
    assert.ok(bytes < MOST, `${bytes} bytes`);
  });
});
