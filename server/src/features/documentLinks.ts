import { isUnsaved } from '../../../shared-core/src/workspace/index.js';
import type { Feature } from '../feature.js';
import { pathsIn } from './definition.js';

/** Paths of profiles and backups open the file they name. */
export const documentLinks: Feature = {
  capabilities: () => ({ documentLinkProvider: {} }),
  register: (connection, session) => {
    connection.onDocumentLinks(async ({ textDocument: { uri } }) =>
      isUnsaved(uri) ? [] : (await pathsIn(session, uri)).map(({ range, target }) => ({ range, target })),
    );
  },
};
