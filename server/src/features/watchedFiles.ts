import { fileName, HEADERS_BESIDE, type Host, kindOf, OUR_FILES } from '../../../shared-core/src/workspace/index.js';
import type { Feature } from '../feature.js';
import { type Connection, DidChangeWatchedFilesNotification, type InitializeParams } from '../lsp.js';
import { isWatched } from '../session.js';

/** Has a client that can watch files tell of all of ours; what it tells is taken where documents are followed. */
export const watchedFiles: Feature = {
  capabilities: () => ({}),
  register: () => {},
  initialized: (connection, { client }) => {
    if (isWatched(client)) watch(connection, [OUR_FILES, `**/*${HEADERS_BESIDE}`]);
  },
};

/** Files of which nothing in their names says that they are ours are watched from when they are first read. */
export function watchingWhatIsRead(connection: Connection, client: InitializeParams, host: Host): Host {
  if (!isWatched(client)) return host;
  const watched = new Set<string>();
  return {
    ...host,
    open: (uri, allowed) => {
      const name = fileName(uri);
      const isKnown = kindOf(name) !== undefined || name.endsWith(HEADERS_BESIDE) || name.startsWith('.');
      if (!isKnown && !watched.has(name)) {
        watched.add(name);
        watch(connection, [`**/${name.replace(/[[\]{}*?]/g, '?')}`]);
      }
      return host.open(uri, allowed);
    },
  };
}

function watch(connection: Connection, patterns: readonly string[]): void {
  const watchers = patterns.map((globPattern) => ({ globPattern }));
  void connection.client.register(DidChangeWatchedFilesNotification.type, { watchers });
}
