import type { Feature } from '../feature.js';

/** Follows the folders that are added to and taken out of the workspace. */
export const workspaceFolders: Feature = {
  capabilities: ({ client }) =>
    client.capabilities.workspace?.workspaceFolders === true
      ? { workspace: { workspaceFolders: { supported: true, changeNotifications: true } } }
      : {},
  register: () => {},
  initialized: (connection, session) => {
    if (session.client.capabilities.workspace?.workspaceFolders !== true) return;
    connection.workspace.onDidChangeWorkspaceFolders(({ added, removed }) => {
      const gone = removed.map(({ uri }) => uri);
      session.setFolders([...session.folders().filter((uri) => !gone.includes(uri)), ...added.map(({ uri }) => uri)]);
      session.changes.emit();
    });
  },
};
