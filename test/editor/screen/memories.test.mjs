// Memory images and raw bytes, on the screen of an editor with a server and of one that is nothing but a page.
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { before, describe } from 'mocha';
import { ROOT } from '../../../scripts/prepare.mjs';
import { openWebEditor } from '../driver.mjs';
import { editorForScenes } from '../scenes.mjs';
import { binaries, binariesInBrowser, layOutBinaries } from './memories/binary.mjs';
import { images, imagesInBrowser, layOutImages } from './memories/images.mjs';

const FOLDER = 'out/scene-memories';

function layOut() {
  const folder = join(ROOT, FOLDER);
  mkdirSync(folder, { recursive: true });
  layOutImages(folder);
  layOutBinaries(folder);
}

describe('over memories', () => {
  before(layOut);
  const editor = editorForScenes({ from: FOLDER });
  for (const scenes of [images, binaries]) scenes(editor);
});

describe('over memories in a browser without a server', () => {
  before(layOut);
  const editor = editorForScenes({ from: FOLDER }, openWebEditor);
  for (const scenes of [imagesInBrowser, binariesInBrowser]) scenes(editor);
});
