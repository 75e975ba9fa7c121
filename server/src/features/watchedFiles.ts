import { DidChangeWatchedFilesNotification } from 'vscode-languageserver';
import { OUR_FILES } from '../../../shared-core/src/index.js';
import type { Feature } from '../feature.js';
import { isWatched } from '../session.js';

/** Has a client that can watch files tell of all of ours; what it tells is taken where documents are followed. */
export const watchedFiles: Feature = {
  capabilities: () => ({}),
  register: () => {},
  initialized: (connection, { client }) => {
    if (isWatched(client))
      void connection.client.register(DidChangeWatchedFilesNotification.type, {
        watchers: [{ globPattern: OUR_FILES }],
      });
  },
};
