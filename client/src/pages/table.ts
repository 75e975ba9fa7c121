import { byteOverviewPage } from './byteOverviewPage.js';
import { imageView } from './largeImage.js';
import type { Page } from './page.js';

/** The pages of which the manifest must know: those that come back, and those that are editors of files. */
export const PAGES: readonly Omit<Page<never>, 'content'>[] = [byteOverviewPage, imageView];
