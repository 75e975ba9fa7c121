import type { Translation } from '../../shared-core/src/base/index.js';
import type { InitializationOptions } from '../../shared-core/src/protocol/initialization.js';
import { OFFER_PLANS } from '../../shared-core/src/protocol/jobs.js';
import { HEADERS_BESIDE, type Host } from '../../shared-core/src/workspace/index.js';
import { throughClient } from './clientHost.js';
import { nextSnapshot, openSnapshot } from './documents.js';
import type { Feature } from './feature.js';
import { addFoundOption } from './features/addOption.js';
import { backup } from './features/backup.js';
import { balanceChoices } from './features/balanceChoices.js';
import { byteOverview } from './features/byteOverview.js';
import { changeProfileText } from './features/changeProfile.js';
import { changes } from './features/changes.js';
import { codeActions } from './features/codeActions.js';
import { codeLens } from './features/codeLens.js';
import { compare } from './features/compare.js';
import { compareManyDumps } from './features/compareMany.js';
import { completion } from './features/completion.js';
import { convert } from './features/convert.js';
import { correctChecksums } from './features/correctChecksums.js';
import { definition } from './features/definition.js';
import { describeDump } from './features/describe.js';
import { diagnostics, pulls, pushAll } from './features/diagnostics.js';
import { documentLinks } from './features/documentLinks.js';
import { dumpToLoad } from './features/dumpToLoad.js';
import { findOption } from './features/findOption.js';
import { folding } from './features/folding.js';
import { formatting } from './features/formatting.js';
import { highlights } from './features/highlights.js';
import { hover } from './features/hover.js';
import { imageView } from './features/imageView.js';
import { inlayHints } from './features/inlayHints.js';
import { cardOfJob } from './features/jobCard.js';
import { jobs } from './features/jobs.js';
import { learnSums } from './features/learn.js';
import { listFiles } from './features/listFiles.js';
import { profileLibrary } from './features/listProfiles.js';
import { newOption } from './features/newOption.js';
import { optionList } from './features/options.js';
import { outline } from './features/outline.js';
import { planOfRetrofit } from './features/planRetrofit.js';
import { rawText } from './features/rawText.js';
import { references } from './features/references.js';
import { rename } from './features/rename.js';
import { renameFiles } from './features/renameFiles.js';
import { restore } from './features/restore.js';
import { selectionRanges } from './features/selectionRanges.js';
import { semanticTokens } from './features/semanticTokens.js';
import { share } from './features/share.js';
import { dumpInWords } from './features/show.js';
import { similarDumps } from './features/similarDumps.js';
import { status } from './features/status.js';
import { comparisonOfThree } from './features/threeWays.js';
import { unconfirmedSumsFeature } from './features/unconfirmedSums.js';
import { recordOfVehicle } from './features/vehicleRecord.js';
import { readBack } from './features/verifyReadBack.js';
import { watchedFiles, watchingWhatIsRead } from './features/watchedFiles.js';
import { workspaceDiagnostics } from './features/workspaceDiagnostics.js';
import { workspaceFolders } from './features/workspaceFolders.js';
import { workspaceSymbols } from './features/workspaceSymbols.js';
import {
  type Connection,
  ErrorCodes,
  FileChangeType,
  type InitializeResult,
  ResponseError,
  TextDocumentSyncKind,
} from './lsp.js';
import { afterShutdown, afterWrongParams } from './messages.js';
import { offerPlans } from './offerPlans.js';
import { openTexts } from './openTexts.js';
import { NO_PLANS, type PlansOnDisk } from './plansOnDisk.js';
import { refreshDiagnostics, refreshShown } from './refresh.js';
import { savedFiles } from './savedFiles.js';
import { createSession, isWatched, type Session } from './session.js';
import { followSettings, registerSettings } from './settings.js';

const FEATURES: readonly Feature[] = [
  addFoundOption,
  changeProfileText,
  unconfirmedSumsFeature,
  newOption,
  similarDumps,
  backup,
  balanceChoices,
  cardOfJob,
  changes,
  codeActions,
  codeLens,
  compare,
  compareManyDumps,
  comparisonOfThree,
  completion,
  convert,
  definition,
  describeDump,
  diagnostics,
  dumpToLoad,
  byteOverview,
  documentLinks,
  folding,
  formatting,
  findOption,
  hover,
  imageView,
  inlayHints,
  jobs,
  optionList,
  learnSums,
  listFiles,
  profileLibrary,
  highlights,
  outline,
  planOfRetrofit,
  rawText,
  readBack,
  recordOfVehicle,
  dumpInWords,
  share,
  references,
  rename,
  renameFiles,
  correctChecksums,
  selectionRanges,
  semanticTokens,
  status,
  restore,
  watchedFiles,
  workspaceDiagnostics,
  workspaceFolders,
  workspaceSymbols,
];

/**
 * Starts the server on a connection. Nothing here knows whether it runs in a process, a worker or a test. `plans`
 * are those that runs of the command line were cut short in.
 */
export function startServer(
  connection: Connection,
  disk: Host,
  translationFor: (locale: string | undefined) => Translation | undefined,
  plans: PlansOnDisk = NO_PLANS,
): void {
  let isInitialized = false;
  connection.onRequest((method) => {
    const code = isInitialized ? ErrorCodes.MethodNotFound : ErrorCodes.ServerNotInitialized;
    return new ResponseError(code, isInitialized ? `Unknown request: ${method}` : 'The first request is "initialize".');
  });
  connection.onRequest(afterShutdown.method, afterShutdown.answer);
  connection.onRequest(afterWrongParams.method, afterWrongParams.answer);
  connection.onInitialize((client): InitializeResult => {
    if (isInitialized) throw new ResponseError(ErrorCodes.InvalidRequest, 'The server is initialized already.');
    isInitialized = true;
    const options = (client.initializationOptions ?? {}) as InitializationOptions;
    const host = throughClient(connection, disk, options);
    const session: Session = createSession(
      client,
      watchingWhatIsRead(connection, client, host),
      options.translation ?? translationFor(client.locale),
      followSettings(connection, client, () => session.changes.emit()),
      savedFiles(connection, disk, host, options),
      plans,
    );
    for (const feature of FEATURES) feature.register(connection, session);
    followDocuments(connection, session);
    connection.onNotification(OFFER_PLANS, () => offerPlans(connection, session));
    connection.onInitialized(() => {
      registerSettings(connection, client);
      for (const feature of FEATURES) feature.initialized?.(connection, session);
      void offerPlans(connection, session);
    });
    const capabilities = FEATURES.map((feature) => feature.capabilities(session));
    return {
      serverInfo: { name: 'countersum' },
      capabilities: Object.assign({ positionEncoding: 'utf-16', textDocumentSync: sync }, ...capabilities, {
        // Several features have a part in this one.
        workspace: Object.assign({}, ...capabilities.map(({ workspace }) => workspace)),
      }),
    };
  });
  connection.listen();
}

const sync = { openClose: true, change: TextDocumentSyncKind.Incremental, save: true };

function followDocuments(connection: Connection, session: Session): void {
  const { documents, gone } = session;
  const texts = openTexts(documents);
  const watched = isWatched(session.client);
  const changed = (uri: string) => {
    // Others may use this file as their profile or backup: what was read of it is out of date.
    const used = session.files.isUsed(uri) || uri.endsWith(HEADERS_BESIDE);
    session.files.forget(uri);
    if (!pulls(session)) void pushAll(connection, session);
    else if (used) refreshDiagnostics(connection, session.client);
    if (used) refreshShown(connection, session.client);
    if (used) session.changes.emit();
  };
  connection.onDidOpenTextDocument(({ textDocument: { uri, languageId, version, text } }) => {
    if (!watched) session.files.forgetAll();
    const opened = openSnapshot(uri, languageId, versionOf(version) ?? 0, text);
    if (opened === undefined) return;
    texts.put(opened);
    gone.delete(uri);
    changed(uri);
    session.changes.emit();
  });
  connection.onDidChangeTextDocument(({ textDocument: { uri, version }, contentChanges }) => {
    const before = texts.textAt(uri);
    if (before === undefined) return;
    const next = nextSnapshot(before, versionOf(version) ?? before.version + 1, contentChanges);
    texts.put(next);
    // Some editors empty a text whose file was deleted.
    if (next.kind !== 'dump' || next.rows.some(({ text }) => text.trim() !== '')) gone.delete(uri);
    changed(uri);
  });
  connection.onDidCloseTextDocument(({ textDocument: { uri } }) => {
    if (texts.close(uri)) gone.delete(uri);
    session.files.evict();
    changed(uri);
    session.changes.emit();
    if (!pulls(session)) void connection.sendDiagnostics({ uri, diagnostics: [] });
  });
  // A client that does not watch files may have had others written at the same time, such as a backup.
  connection.onDidSaveTextDocument(({ textDocument: { uri } }) => {
    if (watched) return;
    session.files.forgetAll();
    changed(uri);
    session.changes.emit();
  });
  connection.onDidChangeWatchedFiles(({ changes }) => {
    for (const { uri, type } of changes) {
      session.files.forget(uri);
      if (type === FileChangeType.Deleted && documents.has(uri)) gone.set(uri, true);
      else gone.delete(uri);
    }
    session.changes.emit();
    if (!pulls(session)) void pushAll(connection, session);
    else refreshDiagnostics(connection, session.client);
    refreshShown(connection, session.client);
  });
}

/** The version that a client gives a text; undefined where it gives none, which some do. */
function versionOf(given: unknown): number | undefined {
  return typeof given === 'number' ? given : undefined;
}
