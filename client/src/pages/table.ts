import { foundOptionPage } from './foundOptionPage.js';
import { imageView } from './largeImage.js';
import { learnedPage } from './learnedPage.js';
import { mapPage } from './mapPage.js';
import type { Page } from './page.js';
import { threeWaysPage } from './threeWaysPage.js';

/** All pages of the extension that are no Markdown. */
export const PAGES: readonly Omit<Page<never>, 'content'>[] = [
  learnedPage,
  foundOptionPage,
  threeWaysPage,
  mapPage,
  imageView,
];
