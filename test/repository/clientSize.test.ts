import assert from 'node:assert/strict';
import { build } from 'esbuild';
import { describe, it } from 'mocha';

/** Rooms and files of the core that hold messages, texts and names, and nothing that reads or computes. */
const LIGHT = /^shared-core\/src\/(?:base\/|protocol\/|workspace\/(?:fileEndings|host|reasons)\.ts)/;

/** Bytes of the core in a client: messages and what makes texts safe to show. */
const MOST = 6000;

describe('the client', () => {
  for (const [entry, platform] of [
    ['client/src/nodeMain.ts', 'node'],
    ['client/src/browserMain.ts', 'browser'],
  ] as const) {
    it(`carries of the core only messages and texts where it runs in a ${platform}`, async () => {
      const { metafile } = await build({
        entryPoints: [entry],
        bundle: true,
        minify: true,
        write: false,
        metafile: true,
        format: 'cjs',
        platform,
        mainFields: platform === 'browser' ? ['browser', 'module', 'main'] : ['module', 'main'],
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
  }
});
