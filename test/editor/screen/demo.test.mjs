// What is done with the demo, in two editors: to start another takes longer than most of these scenes.
import { describe } from 'mocha';
import { editorForScenes } from '../scenes.mjs';
import { byteOverview } from './demo/byteOverview.mjs';
import { card } from './demo/card.mjs';
import { compareMore } from './demo/compareMore.mjs';
import { firstMinutes } from './demo/firstMinutes.mjs';
import { language } from './demo/language.mjs';
import { mainJob } from './demo/mainJob.mjs';
import { navigation } from './demo/navigation.mjs';
import { options } from './demo/options.mjs';
import { retrofit } from './demo/retrofit.mjs';
import { smallWindow } from './demo/smallWindow.mjs';

describe('over the demo', () => {
  // One scene is about what saving rights.
  const editor = editorForScenes({
    settings: { 'editor.codeActionsOnSave': { 'source.fixAll.countersum': 'explicit' } },
  });
  // The walkthrough ticks what was ever done in an editor, so it comes before all else.
  for (const scenes of [firstMinutes, mainJob, options, byteOverview, compareMore, retrofit, card]) scenes(editor);
});

describe('over the demo, with hints between what a person wrote', () => {
  const editor = editorForScenes({
    settings: { 'editor.inlayHints.enabled': 'on', 'countersum.hints.sums': true },
  });
  // What fits into a small window is looked at while the views are as an editor begins with them.
  for (const scenes of [smallWindow, navigation, language]) scenes(editor);
});
