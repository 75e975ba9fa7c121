import { LIST_FILES, type ListFilesResult } from '../../../shared-core/src/index.js';
import type { Feature } from '../feature.js';

/** The files from which a person chooses. */
export const listFiles: Feature = {
  capabilities: () => ({}),
  register: (connection, { files, folders, say }) => {
    connection.onRequest<ListFilesResult, void>(LIST_FILES, async () => {
      const { dumps, retrofits, unlisted } = await files.list(folders());
      return { dumps, retrofits, unlisted: unlisted.map(say) };
    });
  },
};
