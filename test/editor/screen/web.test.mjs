// What is done with the demo in an editor that is nothing but a page.
import { describe } from 'mocha';
import { openWebEditor } from '../driver.mjs';
import { editorForScenes } from '../scenes.mjs';
import { mainJob } from './web/mainJob.mjs';
import { pages } from './web/pages.mjs';

describe('over the demo in a browser without a server', () => {
  const editor = editorForScenes({}, openWebEditor);
  for (const scenes of [pages, mainJob]) scenes(editor);
});
