// An editor for the scenes of one file.
import { after, afterEach, before } from 'mocha';
import { openEditor } from './driver.mjs';

/**
 * Opens an editor before the scenes of the enclosing `describe` and closes it after them. Where a scene fails, what is on
 * the screen then is kept as a picture. Gives the hands and eyes of the driver, which are there once the scenes begin.
 */
export function editorForScenes(options, open = openEditor) {
  const editor = {};
  before(async () => {
    Object.assign(editor, await open(options));
  });
  after(() => editor.close?.());
  afterEach(async function () {
    if (this.currentTest.state === 'failed') await editor.keepPicture(`failed - ${this.currentTest.title}`);
  });
  return editor;
}

/** Gives the scenes of the enclosing `describe` a window as high as they need, and nothing that others have left. */
export function inWindow(editor, height) {
  before(async () => {
    await editor.page.setViewportSize({ width: 1280, height });
    await editor.begin();
  });
}
