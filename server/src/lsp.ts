/**
 * What the server uses of the protocol's library, handed on by one file: the bundler copies all of a CommonJS package's
 * exports, over five hundred, for each file that imports some, which was a tenth of the server's start.
 */
export type * from 'vscode-languageserver';
export {
  CancellationTokenSource,
  CodeActionKind,
  CompletionItemKind,
  DiagnosticSeverity,
  DidChangeConfigurationNotification,
  DidChangeWatchedFilesNotification,
  DocumentDiagnosticReportKind,
  DocumentFormattingRequest,
  DocumentHighlightKind,
  DocumentOnTypeFormattingRequest,
  DocumentRangeFormattingRequest,
  ErrorCodes,
  FileChangeType,
  FoldingRangeKind,
  InlayHintKind,
  LSPErrorCodes,
  Message,
  MessageType,
  ResponseError,
  ShowMessageNotification,
  ShowMessageRequest,
  SymbolKind,
  TextDocumentEdit,
  TextDocumentSyncKind,
} from 'vscode-languageserver';
