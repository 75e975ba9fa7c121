import type { Connection, InitializeParams } from './lsp.js';

/**
 * Has the client ask again for what it shows beside and above the lines, as far as it can be told to: something other
 * than the document itself has changed, such as a setting, a profile or a backup.
 */
export function refreshShown(connection: Connection, { capabilities: { workspace } }: InitializeParams): void {
  if (workspace?.inlayHint?.refreshSupport === true) void connection.languages.inlayHint.refresh();
  if (workspace?.codeLens?.refreshSupport === true) void connection.sendRequest('workspace/codeLens/refresh');
  if (workspace?.semanticTokens?.refreshSupport === true) connection.languages.semanticTokens.refresh();
}

/** The same for diagnostics that the client pulls. */
export function refreshDiagnostics(connection: Connection, { capabilities: { workspace } }: InitializeParams): void {
  if (workspace?.diagnostics?.refreshSupport === true) void connection.languages.diagnostics.refresh();
}
