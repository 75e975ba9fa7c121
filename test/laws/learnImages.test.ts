import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../shared-core/src/base/phrase.js';
import { plantedImages, scorePlantedImages } from '../scoring/plantedImages.js';
import { numbers } from '../shared-core/learn/dumps.js';

describe('laws of learning from images', () => {
  it('what is stated of images is in them, and of noise nothing but filler is', () => {
    const found: string[] = [];
    for (let lot = 0; lot < 24; lot++) {
      const isFull = lot % 2 === 0;
      const score = scorePlantedImages(plantedImages(isFull, numbers(40_000 + lot)), ({ said }) => say(said));
      assert.deepEqual(score.wrong, [], `lot ${lot}`);
      if (!isFull) assert.ok(score.right.every((kind) => kind === 'filler'));
      found.push(...score.found);
    }
    for (const kind of ['sum', 'copy', 'slots', 'text', 'date']) assert.ok(found.includes(kind), kind);
  });

  it('a block with its copy right behind it: that both cancel is no sum', () => {
    const next = numbers(9);
    const images = Array.from({ length: 4 }, () => {
      const bytes = Uint8Array.from({ length: 512 }, (_, at) => (at * 7) & 0xff);
      for (let at = 128; at < 160; at++) bytes[at] = next(256);
      bytes.copyWithin(160, 128, 160);
      return bytes;
    });
    const score = scorePlantedImages({ images, things: [{ kind: 'copy', from: 128, end: 192 }] }, ({ said }) =>
      say(said),
    );
    assert.deepEqual(score.wrong, []);
    assert.ok(score.right.includes('copy'));
  });
});
