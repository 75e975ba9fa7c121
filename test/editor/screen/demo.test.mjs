// What is done with the demo, in one editor: to start another takes longer than most of these scenes.
import { describe } from 'mocha';
import { editorForScenes } from '../scenes.mjs';
import { byteOverview } from './demo/byteOverview.mjs';
import { card } from './demo/card.mjs';
import { compareMore } from './demo/compareMore.mjs';
import { mainJob } from './demo/mainJob.mjs';
import { options } from './demo/options.mjs';
import { retrofit } from './demo/retrofit.mjs';

describe('over the demo', () => {
  // One scene is about what saving rights.
  const editor = editorForScenes({
    settings: { 'editor.codeActionsOnSave': { 'source.fixAll.countersum': 'explicit' } },
  });
  for (const scenes of [mainJob, options, byteOverview, compareMore, retrofit, card]) scenes(editor);
});
